package mapping

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/midiio"
)

// organ has one of everything that messages are about.
const organ = `format: 1
instrument: Bench
keyboards:
  great: {kind: manual, keys: C2..C4, touches: 2}
  choir: {kind: manual, keys: C2..C4}
  pedal: {kind: pedal, keys: C2..G3}
boxes: {box: {stages: 8}}
divisions:
  great: {keyboard: great, notes: C2..C4, chest: unit}
  choir: {keyboard: choir, notes: C2..C5, chest: unit, box: box}
ranks:
  principal: {division: great, family: principal, feet: 8, pipes: 25}
  flute: {division: choir, family: flute, feet: 8, from: C1, pipes: 120}
  trumpet: {division: choir, family: reed, feet: 8, from: C-1, pipes: 128}
stops:
  principal-8: {division: great, feet: 8, rank: principal}
  flute-8: {division: choir, feet: 8, rank: flute}
  flute-4: {division: choir, feet: 4, rank: flute, style: lit}
  trumpet-8: {division: choir, feet: 8, rank: trumpet, style: fixed}
couplers:
  choir-to-great: {division: choir, keyboard: great, style: lit}
  choir-off: {silences: choir}
ventils: {reeds: {admits: [trumpet]}}
tremulants: {tremulant: {division: choir}}
shoes:
  swell: {drives: [box]}
  crescendo: {drives: crescendo}
crescendo: {stages: [[flute-8], [principal-8], [trumpet-8, choir-to-great]]}
combination:
  buttons:
    general-1: {kind: general}
    general-2: {kind: general}
    great-1: {kind: divisional, division: great}
    set: {kind: set}
    toe-1: {repeats: general-1, toe: true}
`

// parse reads organ with a section `midi`, without its heading.
func parse(t require.TestingT, section string) *console.Instrument {
	text := organ
	if section != "" {
		text += "midi:\n" + section
	}
	in, found := console.Parse("organ.yaml", []byte(text))
	require.NotNil(t, in, "%v", found)
	return in
}

// load is the map of a section that has a meaning and no collision.
func load(t require.TestingT, section string) (*console.Instrument, *Map) {
	in := parse(t, section)
	m, found := Load(in)
	require.NotNil(t, m, "%v\n%s", found, section)
	require.Empty(t, found, section)
	return in, m
}

// messages reads messages from lines of their text form.
func messages(t *testing.T, text string) (list []midiio.Message) {
	t.Helper()
	for line := range strings.Lines(text) {
		if line = strings.TrimSpace(line); line != "" {
			m, err := midiio.ParseMessage(line)
			require.NoError(t, err)
			list = append(list, m)
		}
	}
	return list
}
