package change_test

import (
	"bytes"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/change"
	"trundle/sim/starter"
	"trundle/sim/wiring"
)

// lines are lines of a file, and of what stands where they are.
type lines []string // old, new, old, new...

func (l lines) in(t *testing.T, text string) string {
	t.Helper()
	for i := 0; i < len(l); i += 2 {
		require.Contains(t, text, l[i])
		text = strings.Replace(text, l[i], l[i+1], 1)
	}
	return text
}

// Every kind of thing that a row may hang up, in an instrument that has all of
// them: one more, one less, another name, a longer run. There is nothing to do
// but what was worked out by hand, and once it is done all is right.
func TestEveryKindIsAddedRemovedAndRenamed(t *testing.T) {
	data, err := os.ReadFile("../../console/testdata/everything.yaml")
	require.NoError(t, err)
	met := map[string]bool{}
	for name, c := range map[string]struct {
		instrument, relay lines // the relay of the instrument as it is, and back that of the changed one
		there, back       []string
	}{
		"a longer keyboard": {lines{"choir: {kind: manual, keys: C2..C7}", "choir: {kind: manual, keys: C2..D7}"}, nil,
			[]string{"add key choir C#7..D7"}, []string{"remove key choir C#7..D7"}},
		"a longer keyboard whose row gives no notes": {lines{"choir: {kind: manual, keys: C2..C7}", "choir: {kind: manual, keys: B1..C7}"}, lines{",key,choir,C2..C7,", ",key,choir,,"},
			[]string{"add key choir B1", "write key choir C2..C7"}, nil},
		"another name of a keyboard": {lines{"great: {name: Great,", "great: {name: Grand,"}, nil,
			[]string{"re-tag key great C2..C7", "re-tag key-2 great C2..C7"}, []string{"re-tag key great C2..C7", "re-tag key-2 great C2..C7"}},
		"a second contact": {lines{", touches: 2}", "}", ", touch: 2, notes: C4..C7", ", notes: C4..C7"}, nil,
			[]string{"remove key-2 great C2..C7"}, []string{"add key-2 great C2..C7"}},
		"a stop": {lines{"  choir-chimes: {name: Chimes, division: choir, feet: 8, rank: chimes, notes: G3..G5}\n", ""}, nil,
			[]string{"remove control choir-chimes", "remove knob-on choir-chimes", "remove knob-off choir-chimes"},
			[]string{"add control choir-chimes", "add knob-on choir-chimes", "add knob-off choir-chimes"}},
		"a stop for another": {lines{"  choir-chimes: {", "  choir-bells: {"}, nil,
			[]string{"remove control choir-chimes", "remove knob-on choir-chimes", "remove knob-off choir-chimes", "add control choir-bells", "add knob-on choir-bells", "add knob-off choir-bells"}, nil},
		"another name of a stop": {lines{"name: Chimes", "name: Bells"}, nil,
			[]string{"re-tag control choir-chimes", "re-tag knob-on choir-chimes", "re-tag knob-off choir-chimes"}, nil},
		"a coupler": {lines{"  choir-octave: {name: Choir Octave, division: choir, shift: 12}\n", ""}, nil,
			[]string{"remove control choir-octave", "remove knob-on choir-octave", "remove knob-off choir-octave"},
			[]string{"add control choir-octave", "add knob-on choir-octave", "add knob-off choir-octave"}},
		"coils of a knob": {lines{"cuts: line, style: fixed", "cuts: line"}, nil,
			[]string{"add knob-on choir-unison-off", "add knob-off choir-unison-off"}, []string{"remove knob-on choir-unison-off", "remove knob-off choir-unison-off"}},
		"a lamp": {lines{"rank: great-trumpet, style: lit", "rank: great-trumpet, style: fixed"}, nil,
			[]string{"remove lamp great-trumpet-8"}, []string{"add lamp great-trumpet-8"}},
		"a ventil": {lines{"  mixtures-off: {cuts: [great-mixture, pedal-mixture]}\n", ""}, nil,
			[]string{"remove control mixtures-off", "remove knob-on mixtures-off", "remove knob-off mixtures-off", "remove ventil mixtures-off"},
			[]string{"add control mixtures-off", "add knob-on mixtures-off", "add knob-off mixtures-off", "add ventil mixtures-off"}},
		"a tremulant": {lines{"tremulants:\n", "tremulants:\n  echo-tremulant: {division: echo}\n"}, nil,
			[]string{"add control echo-tremulant", "add knob-on echo-tremulant", "add knob-off echo-tremulant", "add tremulant echo-tremulant"},
			[]string{"remove control echo-tremulant", "remove knob-on echo-tremulant", "remove knob-off echo-tremulant", "remove tremulant echo-tremulant"}},
		"a transfer for another": {lines{"  exchange: {", "  exchanged: {"}, nil,
			[]string{"remove control exchange", "remove lamp exchange", "add control exchanged", "add lamp exchanged"}, nil},
		"a divide for another": {lines{"  pedal-divide: {", "  divide: {"}, nil,
			[]string{"remove control pedal-divide", "remove lamp pedal-divide", "add control divide", "add lamp divide"}, nil},
		"a sostenuto": {lines{"  hold-both: {keyboards: [great, choir]}\n", ""}, nil,
			[]string{"remove control hold-both", "remove knob-on hold-both", "remove knob-off hold-both"}, []string{"add control hold-both", "add knob-on hold-both", "add knob-off hold-both"}},
		"a gathering for another": {lines{"  all-swells: {", "  swells: {"}, nil,
			[]string{"remove control all-swells", "remove lamp all-swells", "add control swells", "add lamp swells"}, nil},
		"a follow for another": {lines{"  pedal-follows: {", "  follows: {"}, nil,
			[]string{"remove control pedal-follows", "remove lamp pedal-follows", "add control follows", "add lamp follows"}, nil},
		"a piston": {lines{"    general-2: {kind: general, sets: [pedal-subbass-16]}\n", ""}, nil,
			[]string{"remove button general-2"}, []string{"add button general-2"}},
		"a piston that is lit as all its like are": {lines{"    general-2: {", "    general-3: {kind: general}\n    general-2: {"},
			lines{"\nFREE2,1,return,", "\nFREE2,10,lamp,general-1,,,,\nFREE2,11,lamp,general-1-toe,,,,\nFREE2,12,lamp,general-2,,,,\nFREE2,1,return,"},
			[]string{"add button general-3", "add lamp general-3"}, nil},
		"a lit piston that goes": {lines{"    general-2: {kind: general, sets: [pedal-subbass-16]}\n", ""}, lines{"\nFREE2,1,return,", "\nFREE2,12,lamp,general-2,,,,\nFREE2,1,return,"},
			[]string{"remove button general-2", "remove lamp general-2"}, nil},
		"a reversible for another": {lines{"    great-to-pedal: {", "    pedal-reversible: {"}, nil,
			[]string{"remove button great-to-pedal", "add button pedal-reversible"}, nil},
		"another name of a piston": {lines{`name: "1"`, `name: "I"`}, nil, []string{"re-tag button general-1"}, nil},
		"a longer crescendo": {lines{"[great-trumpet-8]]", "[great-trumpet-8], [choir-octave]]"}, nil,
			[]string{"add stage crescendo 3"}, []string{"remove stage crescendo 3"}},
		"a longer crescendo of one contact": {lines{"[great-trumpet-8]]", "[great-trumpet-8], [choir-octave]]"}, lines{"1..2,stage,crescendo,1..2,", "1,stage,crescendo,,", ",1..2,\n", ",1,\n"}, nil, nil},
		"a longer sequence that has contacts of its own": {lines{"[great-trumpet-8]]", "[great-trumpet-8], [choir-octave]]"}, lines{"stage,crescendo,", "stage,full,"},
			[]string{"add stage full 3"}, nil},
		"another name of such a sequence": {lines{"    full: [", "    grand: ["}, lines{"stage,crescendo,", "stage,full,"},
			[]string{"remove stage full 1..2", "add stage grand 1..2"}, nil},
		"the shoe that rows call a crescendo by": {lines{"  crescendo-shoe: {drives", "  roll: {drives", "crescendo-shoe: nrpn", "roll: nrpn"}, lines{"stage,crescendo,", "stage,crescendo-shoe,"},
			[]string{"write stage crescendo 1..2"}, nil},
		"a shoe": {lines{"  crescendo-shoe: {drives", "  echo-shoe: {drives: [echo-box]}\n  crescendo-shoe: {drives"}, nil,
			[]string{"add shoe echo-shoe"}, []string{"remove shoe echo-shoe"}},
		"another name of a shoe": {lines{"choir-shoe: {name: Choir,", "choir-shoe: {name: Swell,"}, nil, []string{"re-tag shoe choir-shoe"}, nil},
		// A weighted engine says 8 with four magnets and 16 with five.
		"more stages of a weighted engine": {lines{"stages: 8, code: weighted", "stages: 16, code: weighted"}, nil,
			[]string{"add shade choir-box 5"}, []string{"remove shade choir-box 5"}},
		"an engine of a magnet a stage": {lines{"stages: 8, code: weighted", "stages: 8"}, nil,
			[]string{"add shade choir-box 5..8"}, []string{"remove shade choir-box 5..8"}},
		"an engine by a table":  {lines{"[1, 2]]}", "[1, 2, 3]]}"}, nil, []string{"add shade echo-box 3"}, []string{"remove shade echo-box 3"}},
		"an engine by one wire": {lines{"stages: 8, code: weighted", "stages: 16"}, lines{"1..4,shade,choir-box,1..4,", "1,shade,choir-box,,", ",1..4,\n", ",1,\n"}, nil, nil},
		"a box":                 {lines{"  echo-box: {stages", "  far-box: {stages: 3}\n  echo-box: {stages"}, nil, []string{"add shade far-box 1..3"}, []string{"remove shade far-box 1..3"}},
		"another name of a box": {lines{"name: Choir box", "name: Swell box"}, nil, []string{"re-tag shade choir-box 1..4"}, nil},
		"a division that plays along": {lines{"plays: [echo, great]", "plays: [echo]"}, nil,
			[]string{"remove note echo-main/great C2..C7", "remove action echo-viole/great"},
			[]string{"add note echo-main/great C2..C7", "add action echo-viole/great", "write note echo-main/echo C2..C7", "write action echo-viole/echo"}},
		"a rank on a slider chest": {lines{"  bourdon: {", "  great-octave: {division: great, family: principal, feet: 4, pipes: 61}\n  bourdon: {"}, nil,
			[]string{"add action great-octave"}, []string{"remove action great-octave"}},
		"a rank on a slider chest of two coils": {lines{"  bourdon: {", "  great-octave: {division: great, family: principal, feet: 4, pipes: 61}\n  bourdon: {"}, nil,
			[]string{"add action-on great-octave", "add action-off great-octave"}, []string{"remove action-on great-octave", "remove action-off great-octave"}},
		"a longer rank": {lines{"feet: 16, pipes: 68", "feet: 16, pipes: 70"}, nil, []string{"add valve bourdon 69..70"}, []string{"remove valve bourdon 69..70"}},
		"a rank that begins lower": {lines{"from: C3, pipes: 61, cents: 6", "from: A#2, pipes: 63, cents: 6"}, nil,
			[]string{"add valve choir-celeste 1..2", "re-tag valve choir-celeste 3..63"}, []string{"remove valve choir-celeste 1..2", "re-tag valve choir-celeste 1..61"}},
		"another name of a rank": {lines{"  bourdon: {", "  bourdon: {name: Bourdon, "}, nil, []string{"re-tag valve bourdon 1..68"}, nil},
	} {
		t.Run(name, func(t *testing.T) {
			text := string(data)
			changed := c.instrument.in(t, text)
			way := func(from, to string, relay lines, want []string) {
				old, new := load(t, from), load(t, to)
				made := starter.Relay(old, "organ.yaml")
				for i, f := range made {
					if f.Name != starter.WiringFile {
						continue
					}
					rows := string(f.Data) + "FREE1,1,common,,,,,\nFREE1,2,row,,,,,\nFREE1,3,column,,,,,\nFREE2,1,return,,,,,\nFREE2,2,feed,,,,,\nFREE2,3,blower,,,,,\nFREE2,4,spare,,,,,\n"
					if strings.HasSuffix(name, "two coils") {
						rows = twoCoils(rows)
					}
					made[i].Data = []byte(relay.in(t, rows))
				}
				path := files(t, made)
				r, found := wiring.Load(path, old)
				require.Empty(t, wrong(r, old, found))
				require.Empty(t, change.Iron(old, old, r), "as it stands")
				jobs := said(change.Iron(old, new, r))
				require.ElementsMatch(t, want, jobs)
				for _, j := range jobs {
					met[strings.Join(strings.Fields(j)[:2], " ")] = true
				}
				afterwards(t, path, old, new)
			}
			way(text, changed, c.relay, c.there)
			if c.back != nil {
				way(changed, text, c.relay, c.back)
			}
		})
	}
	for _, kind := range []wiring.Kind{wiring.KeyKind, wiring.Key2Kind, wiring.ControlKind, wiring.ButtonKind, wiring.StageKind, wiring.ShoeKind, wiring.NoteKind, wiring.ActionKind,
		wiring.ActionOnKind, wiring.ActionOffKind, wiring.ValveKind, wiring.KnobOnKind, wiring.KnobOffKind, wiring.ShadeKind, wiring.VentilKind, wiring.TremulantKind, wiring.LampKind} {
		require.True(t, met["add "+string(kind)], "%s was never added", kind)
		require.True(t, met["remove "+string(kind)], "%s was never removed", kind)
	}
}

// twoCoils makes every action of a wiring table one of two coils.
func twoCoils(rows string) string {
	var more bytes.Buffer
	pin := 100
	for row := range strings.SplitSeq(rows, "\n") {
		if cells := strings.Split(row, ","); len(cells) > 3 && cells[2] == "action" {
			pin++
			more.WriteString("FREE2," + wiring.FormatNumbers([]int{pin}) + ",action-off," + cells[3] + ",,,,\n")
		}
	}
	return strings.ReplaceAll(rows, ",action,", ",action-on,") + more.String()
}

// said is jobs in a few words each; those of one thing on several boards are one.
func said(jobs []change.Job) []string {
	list := []string{}
	for i := 0; i < len(jobs); i++ {
		j := jobs[i]
		for ; i+1 < len(jobs) && jobs[i+1].Do == j.Do && jobs[i+1].Kind == j.Kind && jobs[i+1].Item == j.Item; i++ {
			j.Notes = slices.Concat(j.Notes, jobs[i+1].Notes)
		}
		words := []string{string(j.Do), string(j.Kind), j.Item, change.NotesText(j.Kind, j.Notes)}
		list = append(list, strings.Join(slices.DeleteFunc(words, func(w string) bool { return w == "" }), " "))
	}
	return list
}

// What an instrument had none of is listed with the first of it, and the pins
// that lead nowhere once the last is gone.
func TestTheFirstAndTheLastOfAKindAreListed(t *testing.T) {
	first := organ + `boxes:
  choir-box: {stages: 4}
tremulants:
  shake: {divisions: [choir], style: lit}
shoes:
  choir-shoe: {drives: [choir-box]}
  roll: {drives: crescendo}
crescendo: {stages: [[choir-flute-8], [great-principal-8]]}
combination:
  buttons:
    general-1: {kind: general}
`
	first = strings.Replace(first, "notes: C2..C8, chest: unit", "notes: C2..C8, chest: unit, box: choir-box", 1)
	old, new := load(t, organ), load(t, first)
	want := []string{"control shake", "lamp shake", "tremulant shake", "button general-1", "stage crescendo 1..2", "shoe choir-shoe", "shade choir-box 1..4"}
	for do, pair := range map[string][2]*console.Instrument{"add ": {old, new}, "remove ": {new, old}} {
		path := files(t, starter.Relay(pair[0], "organ.yaml"))
		r, found := wiring.Load(path, pair[0])
		require.NotNil(t, r, "%v", found)
		var list []string
		for _, w := range want {
			list = append(list, do+w)
		}
		require.ElementsMatch(t, list, said(change.Iron(pair[0], pair[1], r)))
		afterwards(t, path, pair[0], pair[1])
	}
}
