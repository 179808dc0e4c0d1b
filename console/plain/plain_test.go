package plain_test

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/plain"
)

// organ has two manuals, of which the upper has a compass of its own and the
// lower a second touch, a pedal, a division for each and one that floats,
// with a stop each and one that reads the second contact. The Swell has notes
// for an octave coupler.
const organ = `
format: 1
instrument: Two manuals and pedal
keyboards:
  great: {kind: manual, keys: C2..C7, touches: 2}
  swell: {kind: manual, keys: C2..A6}
  pedal: {kind: pedal, keys: C2..G4}
divisions:
  great: {keyboard: great, notes: C2..C7, chest: unit}
  swell: {keyboard: swell, notes: C2..C8, chest: unit}
  pedal: {keyboard: pedal, notes: C2..G4, chest: unit}
  echo: {notes: C2..C7, chest: unit}
ranks:
  great-flute: {division: great, family: flute, feet: 8, pipes: 61}
  great-reed: {division: great, family: reed, feet: 8, pipes: 61}
  swell-flute: {division: swell, family: flute, feet: 8, pipes: 73}
  pedal-flute: {division: pedal, family: flute, feet: 8, pipes: 32}
  echo-flute: {division: echo, family: flute, feet: 8, pipes: 61}
stops:
  great: {division: great, feet: 8, rank: great-flute}
  great-solo: {division: great, feet: 8, rank: great-reed, touch: 2}
  swell: {division: swell, feet: 8, rank: swell-flute}
  pedal: {division: pedal, feet: 8, rank: pedal-flute}
  echo: {division: echo, feet: 8, rank: echo-flute}
transposer: {low: -12, high: 12}
`

type sounds map[string]string // notes of the ranks that sound, by stop

// Everything that a case adds to the organ is on. Those without a source are
// the definition in examples, and common practice where they say so.
var cases = []struct {
	name      string
	adds      string
	play      string // keyboard, then keys, those with ! down to the second contact
	transpose int
	want      sounds
}{
	{name: "8 foot is the key's own pitch (common practice)",
		play: "great C4 E4", want: sounds{"great": "C4 E4"}},
	{name: "16 and 4 give three notes, never a ladder (common practice)",
		adds: `couplers: {sub: {division: great, shift: -12}, octave: {division: great, shift: 12}}`,
		play: "great C4", want: sounds{"great": "C3 C4 C5"}},
	{name: "past the end of a division a coupler sounds nothing",
		adds: `couplers: {octave: {division: great, shift: 12}}`,
		play: "great C7", want: sounds{"great": "C7"}},
	{name: "a longer chest gives the octave coupler its top notes (common practice)",
		adds: `couplers: {octave: {division: swell, shift: 12}}`,
		play: "swell A6", want: sounds{"swell": "A6 A7"}},

	{name: "electric couplers do not chain (common practice)",
		adds: `couplers: {s-g: {division: swell, keyboard: great}, g-p: {division: great, keyboard: pedal}}`,
		play: "pedal C3", want: sounds{"pedal": "C3", "great": "C3"}},
	{name: "couplers that move keys chain (common practice; tumblers in Dickson, Practical Organ Building, 1882)",
		adds: `couplers: {s-g: {division: swell, keyboard: great}, g-p: {division: great, keyboard: pedal, carries: all}}`,
		play: "pedal C3", want: sounds{"pedal": "C3", "great": "C3", "swell": "C3"}},
	{name: "a moved key passes its own couplers",
		adds: `couplers: {octave: {division: great, shift: 12}, g-p: {division: great, keyboard: pedal, carries: all}}`,
		play: "pedal C3", want: sounds{"pedal": "C3", "great": "C3 C4"}},
	{name: "a coupler that carries own passes the own couplers and moves no key",
		adds: `couplers: {octave: {division: great, shift: 12}, s-g: {division: swell, keyboard: great}, g-p: {division: great, keyboard: pedal, carries: own}}`,
		play: "pedal C3", want: sounds{"pedal": "C3", "great": "C3 C4"}},
	{name: "a coupler that carries nothing passes no own coupler",
		adds: `couplers: {octave: {division: great, shift: 12}, g-p: {division: great, keyboard: pedal}}`,
		play: "pedal C3", want: sounds{"pedal": "C3", "great": "C3"}},
	{name: "a floating division's own couplers read what is coupled to it",
		adds: `couplers: {octave: {division: echo, shift: 12}, e-g: {division: echo, keyboard: great}}`,
		play: "great C3", want: sounds{"great": "C3", "echo": "C3 C4"}},
	{name: "a cycle of couplers that move keys sounds once",
		adds: `couplers: {g-s: {division: great, keyboard: swell, shift: 12, carries: all}, s-g: {division: swell, keyboard: great, shift: -12, carries: all}}`,
		play: "great C4", want: sounds{"great": "C4", "swell": "C3"}},
	{name: "a cycle that climbs ends with the compass",
		adds: `couplers: {g-s: {division: great, keyboard: swell, shift: 12, carries: all}, s-g: {division: swell, keyboard: great, carries: all}}`,
		play: "great C4", want: sounds{"great": "C4 C5 C6 C7", "swell": "C4 C5 C6 C7"}},
	{name: "a cycle does not hold itself on",
		adds: `couplers: {g-s: {division: great, keyboard: swell, carries: all}, s-g: {division: swell, keyboard: great, carries: all}}`,
		play: "pedal C3", want: sounds{"pedal": "C3"}},

	{name: "unison off takes a division off its own keys (common practice)",
		adds: `couplers: {off: {silences: great}}`,
		play: "great C4", want: sounds{}},
	{name: "unison off leaves the octave coupler (common practice)",
		adds: `couplers: {off: {silences: great}, octave: {division: great, shift: 12}}`,
		play: "great C4", want: sounds{"great": "C5"}},
	{name: "unison off leaves the division on the pedal alone (common practice)",
		adds: `couplers: {off: {silences: great}, g-p: {division: great, keyboard: pedal}}`,
		play: "great C4, pedal C3", want: sounds{"great": "C3", "pedal": "C3"}},
	{name: "unison off that cuts the line takes couplers from elsewhere too",
		adds: `couplers: {off: {silences: great, cuts: line}, octave: {division: great, shift: 12}, g-p: {division: great, keyboard: pedal}}`,
		play: "great C4, pedal C3", want: sounds{"great": "C5", "pedal": "C3"}},
	{name: "unison off that cuts all leaves nothing",
		adds: `couplers: {off: {silences: great, cuts: all}, octave: {division: great, shift: 12}, g-p: {division: great, keyboard: pedal}}`,
		play: "great C4, pedal C3", want: sounds{"pedal": "C3"}},
	{name: "unison off leaves the keys as they are for other couplers",
		adds: `couplers: {off: {silences: great, cuts: all}, s-g: {division: swell, keyboard: great}}`,
		play: "great C4", want: sounds{"swell": "C4"}},

	{name: "a bass coupler plays the lowest key of its range (common practice)",
		adds: `couplers: {bass: {division: pedal, keyboard: great, picks: lowest, keys: C2..B3}}`,
		play: "great E3 G3 C5", want: sounds{"great": "E3 G3 C5", "pedal": "E3"}},
	{name: "a melody coupler plays the highest key (common practice)",
		adds: `couplers: {melody: {division: swell, keyboard: great, picks: highest, shift: 12}}`,
		play: "great C4 G4", want: sounds{"great": "C4 G4", "swell": "G5"}},
	{name: "nothing in the range, nothing picked",
		adds: `couplers: {bass: {division: pedal, keyboard: great, picks: lowest, keys: C2..B3}}`,
		play: "great C5", want: sounds{"great": "C5"}},
	{name: "of a picked key that lands nowhere nothing takes the place",
		adds: `couplers: {bass: {division: pedal, keyboard: great, picks: lowest, shift: -12}}`,
		play: "great E2 E3", want: sounds{"great": "E2 E3"}},
	{name: "a picked key may be one that a coupler moved",
		adds: `couplers: {g-s: {division: great, keyboard: swell, carries: all}, bass: {division: pedal, keyboard: great, picks: lowest}}`,
		play: "great C4, swell C3", want: sounds{"great": "C3 C4", "swell": "C3", "pedal": "C3"}},

	{name: "the second touch is the deeper contact alone",
		play: "great C4 E4!", want: sounds{"great": "C4 E4", "great-solo": "E4"}},
	{name: "a coupler of the second touch passes deep keys, to both contacts' stops",
		adds: `couplers: {s-g: {division: swell, keyboard: great, touch: 2}}`,
		play: "great C4 E4!", want: sounds{"great": "C4 E4", "great-solo": "E4", "swell": "E4"}},
	{name: "a keyboard without a second touch has no deep keys",
		adds: `couplers: {g-s: {division: great, keyboard: swell}}`,
		play: "swell C4!", want: sounds{"swell": "C4", "great": "C4"}},

	{name: "a transfer exchanges the keyboards",
		adds: `transfers: {exchange: {exchanges: [great, swell]}}`,
		play: "great C4, swell E4", want: sounds{"great": "E4", "swell": "C4"}},
	{name: "a key that its new keyboard lacks sounds and moves no other",
		adds: "transfers: {exchange: {exchanges: [great, swell]}}\ncouplers: {p-s: {division: great, keyboard: swell, carries: all}}",
		play: "great A6 C7", want: sounds{"great": "A6 C7", "swell": "A6 C7"}},
	{name: "the transposer shifts keys, also off the compass",
		transpose: 2, adds: `couplers: {g-s: {division: great, keyboard: swell}}`,
		play: "swell C4 A6, great C7", want: sounds{"swell": "D4 B6", "great": "D4 B6"}},
	{name: "a key off the compass moves no other keyboard",
		transpose: 2, adds: `couplers: {octave: {division: great, shift: -12}, g-s: {division: great, keyboard: swell, carries: all}}`,
		play: "swell A6", want: sounds{"swell": "B6", "great": "B6"}},
	{name: "a divide keeps low keys from couplers and high ones from the pedal",
		adds: "divides: {divide: {keyboard: pedal, split: C3}}\ncouplers: {g-p: {division: great, keyboard: pedal}}",
		play: "pedal B2 C3", want: sounds{"pedal": "B2", "great": "C3"}},
	{name: "transfer, then transposer, then divide",
		transpose: -1, adds: "transfers: {exchange: {exchanges: [great, pedal]}}\ndivides: {divide: {keyboard: pedal, split: C3}}",
		play: "great C3 C#3", want: sounds{"pedal": "B2"}},
}

func TestWhatSounds(t *testing.T) {
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			in, findings := console.Parse("organ.yaml", []byte(organ+c.adds))
			require.NotNil(t, in, "%v", findings)
			s := console.State{Held: held(t, in, c.play), Drawn: slices.Repeat([]bool{true}, len(in.Controls)), Transpose: c.transpose}
			plainly := plain.Open(in, s)
			require.Equal(t, c.want, named(in, plainly))

			fast := console.NewSounding(in)
			fast.Set(s)
			for v, open := range plainly {
				require.Equal(t, open, fast.Open(v), "valve %d in console.Sounding", v)
			}
		})
	}
}

// held reads keys like "great C4 E4!, pedal C2".
func held(t *testing.T, in *console.Instrument, play string) []console.Held {
	var held []console.Held
	for _, part := range strings.Split(play, ", ") {
		words := strings.Fields(part)
		m := slices.IndexFunc(in.Keyboards, func(k console.Keyboard) bool { return k.ID == words[0] })
		for _, word := range words[1:] {
			name, deep := strings.CutSuffix(word, "!")
			n, err := console.ParseNote(name)
			require.NoError(t, err)
			held = append(held, console.Held{Key: console.Key{Keyboard: m, Note: n}, Deep: deep})
		}
	}
	return held
}

// named is the notes that sound, by the stop whose rank they are on.
func named(in *console.Instrument, open []bool) sounds {
	got := sounds{}
	for _, stop := range in.Stops {
		rank := in.Ranks[stop.Takes[0].Rank]
		var notes []string
		for v := 1; v <= rank.Pipes; v++ {
			if open[rank.Valve(v)] {
				notes = append(notes, rank.Note(v).String())
			}
		}
		if len(notes) > 0 {
			got[stop.ID] = strings.Join(notes, " ")
		}
	}
	return got
}

func TestLinesAreWhatStopsReadThroughEitherContact(t *testing.T) {
	in, _ := console.Parse("organ.yaml", []byte(organ))
	first, second := plain.Lines(in, console.State{Held: held(t, in, "great C4 E4!")})
	require.Equal(t, []console.Note{60, 64}, slices.Sorted(maps.Keys(first[0])))
	require.Equal(t, []console.Note{64}, slices.Sorted(maps.Keys(second[0])))
}
