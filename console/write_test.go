package console

import (
	"bytes"
	"errors"
	"reflect"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console/finding"
	"trundle/console/yamldoc"
)

// everything is an instrument with every field that a file may have.
const everything = `
format: 1
instrument: "Saltmarsh: Hall"
pitch: {a4: 415.3, temperament: [0, -6, 0, 0, -2.5, 0, 0, 0, 0, 0, 0, 1]}
transposer: {low: -6, high: 5}
keyboards:
  great: {kind: manual, keys: C2..C7, touches: 2}
  choir: {name: Choir Organ, kind: manual, keys: C2..C7}
  pedal: {kind: pedal, keys: C2..G4}
boxes:
  choir-box: {stages: 2, code: table, rest: open, table: [[1, 2], [1], []], softens: 20.5}
divisions:
  great: {keyboard: great, notes: C2..C7, chest: slider}
  choir: {keyboard: choir, notes: C2..C8, chest: unit, box: choir-box}
  pedal: {keyboard: pedal, chest: unit}
  echo: {notes: C2..C7}
chests:
  great-bass: {kind: unit}
  echo-main: {kind: pitman, notes: C2..C7, plays: [great, echo]}
ranks:
  great-principal: {division: great, family: principal, feet: 8, pipes: 61, stands: {great-bass: 1..12, great: 13..61}}
  great-mixture:
    division: great
    pipes: 61
    breaks: {C2: [19, 22, 1 3/5], C4: [12, 15, "2'"]}
  pedal-mixture: {division: pedal, family: principal, pipes: 32, figured-from: 16, breaks: {C2: [15, 19]}}
  bourdon: {division: pedal, family: flute, feet: 16, pipes: 68, stands: {pedal: 1..32 41..68, great-bass: 33..40}}
  celeste: {division: choir, family: string, feet: 8, from: C3, pipes: 61, cents: -6.5}
  twelfth: {feet: 2 2/3, pipes: 61, stands: echo-main}
  chimes: {division: choir, sounds: bars, feet: 8, from: G3, pipes: 25, strikes: once}
stops:
  principal-8: {name: Principal, division: great, feet: 8, rank: great-principal, level: -1.5}
  mixture: {division: great, rank: great-mixture, style: fixed}
  pedal-mixture: {name: "null", division: pedal, rank: pedal-mixture}
  subbass-16: {division: pedal, feet: 16, rank: bourdon, beyond: fold, touch: 2}
  flute-8: {division: pedal, feet: 8, rank: bourdon, above: fold, notes: C3..G4}
  resultant-32:
    division: pedal
    below: fold
    takes:
      - {rank: bourdon, feet: 16, notes: C2..B2}
      - {rank: bourdon, feet: 10 2/3, notes: C2..B2, beyond: silent}
      - {rank: pedal-mixture}
  twelfth: {division: echo, feet: 2 2/3, rank: twelfth}
  celeste: {division: choir, takes: [{rank: celeste, feet: 8}, {rank: chimes, feet: 8}]}
couplers:
  unison-off: {silences: choir, cuts: all}
  choir-to-great-4: {division: choir, keyboard: great, shift: 12, carries: own, touch: 2}
  great-to-pedal-8: {division: great, keyboard: pedal, carries: all, style: lit}
  choir-octave: {division: choir, shift: 12}
  choir-to-pedal-4: {division: choir, keyboard: pedal, shift: 12, pizzicato: 120}
  bass: {division: pedal, keyboard: great, picks: lowest, keys: C2..B3}
  echo-to-choir-8: {division: echo, keyboard: choir}
  great-off: {silences: great}
ventils:
  reeds-on: {admits: [twelfth]}
  reeds-off: {cuts: [bourdon, celeste]}
tremulants: {tremulant: {division: choir, speeds: [4, 6.5]}, both: {divisions: [great, echo]}}
transfers: {transfer: {exchanges: [great, choir]}}
divides: {divide: {keyboard: pedal, split: C3}}
sostenutos: {hold: {keyboard: great}, hold-both: {keyboards: [great, choir]}}
gatherings: {gather: {shoe: choir}}
follows: {pedal-follows: {division: pedal, with: great}}
shoes:
  choir: {drives: [choir-box]}
  all: {drives: crescendo}
crescendo:
  sequences:
    soft: [[flute-8], {adds: [], drops: [flute-8]}]
    loud: [[principal-8, mixture]]
tutti: {adds: [principal-8], drops: [celeste]}
combination:
  memories: 9
  end: wrap
  travel: 250
  buttons:
    g1: {name: General 1, kind: general, leaves: [celeste]}
    g1-toe: {repeats: g1, toe: true}
    d1: {kind: divisional, division: choir, keyboard: choir, scope: own+played}
    d2: {kind: divisional, division: choir, scope: [celeste, choir-octave]}
    d3: {kind: divisional, division: choir}
    g2: {kind: general, sets: [mixture]}
    r: {kind: reversible, control: great-to-pedal-8, fixed: true}
voices: {principal: 20, "odd: family": 128}
midi: {in: {keys: [{channel: 1, "a: b": [[1, 2], [3]]}]}}
`

func TestWriteYAMLReadsBackTheSame(t *testing.T) {
	for name, file := range map[string]string{
		"every field":             everything,
		"one crescendo, no tutti": "format: 1\nkeyboards: {great: {kind: manual, keys: C2..C7}}\ncrescendo: {stages: [[], []]}\n",
	} {
		t.Run(name, func(t *testing.T) {
			in, found := Parse("organ.yaml", []byte(file))
			require.NotNil(t, in, "%v", found)
			var written bytes.Buffer
			require.NoError(t, WriteYAML(&written, in))
			again, found := Parse("organ.yaml", written.Bytes())
			require.NotNil(t, again, "%s\n%v", &written, found)
			withoutPlaces(reflect.ValueOf(in).Elem())
			withoutPlaces(reflect.ValueOf(again).Elem())
			require.Equal(t, in, again)
		})
	}
}

// A field that is added to the file has to be added to the test above too.
func TestWriteYAMLIsTriedOnEveryField(t *testing.T) {
	for entry, fields := range fieldsOf {
		for _, field := range fields {
			require.Contains(t, everything, field+":", entry)
		}
	}
}

// Items stand on a line each, as in the stop list of a specification.
func TestWriteYAMLIsReadable(t *testing.T) {
	in, _ := Parse("organ.yaml", []byte(everything))
	var written bytes.Buffer
	require.NoError(t, WriteYAML(&written, in))
	for _, line := range []string{
		"  great: {kind: manual, keys: C2..C7, touches: 2}\n",
		"  principal-8: {name: Principal, division: great, feet: 8, rank: great-principal, level: -1.5}\n",
		"      - {rank: bourdon, feet: 10 2/3, notes: C2..B2}\n",
		"      C4: [12, 15, 2']\n",
		"  bass: {division: pedal, keyboard: great, picks: lowest, keys: C2..B3}\n",
	} {
		require.Contains(t, written.String(), line)
	}
}

func TestWriteYAMLReportsThatItCannotWrite(t *testing.T) {
	in, _ := Parse("organ.yaml", []byte(everything))
	require.ErrorIs(t, WriteYAML(full{}, in), errFull)
}

var errFull = errors.New("no space left")

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errFull }

// withoutPlaces takes out where things stood, and what tells an empty slice
// from none.
func withoutPlaces(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			withoutPlaces(v.Elem())
		}
	case reflect.Slice:
		if v.Len() == 0 {
			v.SetZero()
		}
		for i := range v.Len() {
			withoutPlaces(v.Index(i))
		}
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[finding.Place]() {
			v.SetZero()
			return
		}
		if n, ok := v.Addr().Interface().(*yamldoc.Node); ok {
			n.Line, n.Column = 0, 0
		}
		for i := range v.NumField() {
			withoutPlaces(v.Field(i))
		}
	}
}
