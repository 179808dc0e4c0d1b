package plain_test

import (
	"maps"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/plain"
)

// Two manuals and a pedal, each with one division and one 8-foot stop on a
// rank that fits it; what a test adds comes on top.
const (
	great = iota
	swell
	pedal
)

func organ(couplers ...console.Coupler) *console.Instrument {
	in := &console.Instrument{Pitch: console.Pitch{A4: 440}}
	for i, keys := range []console.Span{{From: 36, To: 96}, {From: 36, To: 96}, {From: 36, To: 67}} {
		in.Keyboards = append(in.Keyboards, console.Keyboard{Keys: keys, Touches: 1})
		in.Divisions = append(in.Divisions, console.Division{Keyboard: i, Notes: keys})
		in.Ranks = append(in.Ranks, console.Rank{Division: i, Feet: console.Foot(8), From: 36, Pipes: keys.Len(), First: in.Valves})
		in.Valves += keys.Len()
		in.Stops = append(in.Stops, console.Stop{Division: i, Notes: console.AllNotes, Control: control(in),
			Takes: []console.Take{{Rank: i, Notes: console.AllNotes}}})
	}
	for _, c := range couplers {
		if c.Keys == (console.Span{}) {
			c.Keys = console.AllNotes
		}
		c.Control = control(in)
		in.Couplers = append(in.Couplers, c)
	}
	return in
}

func control(in *console.Instrument) int {
	in.Controls = append(in.Controls, console.Control{})
	return len(in.Controls) - 1
}

// everythingOn is a state with every control drawn and these keys held.
func everythingOn(in *console.Instrument, keyboard int, notes ...console.Note) console.State {
	s := console.State{Drawn: make([]bool, len(in.Controls))}
	for c := range s.Drawn {
		s.Drawn[c] = true
	}
	for _, n := range notes {
		s.Held = append(s.Held, console.Held{Key: console.Key{Keyboard: keyboard, Note: n}})
	}
	return s
}

func line(in *console.Instrument, s console.State, division int) []console.Note {
	first, _ := plain.Lines(in, s)
	return slices.Sorted(maps.Keys(first[division]))
}

func TestWhatACouplerBringsToALine(t *testing.T) {
	own := func(shift int) console.Coupler {
		return console.Coupler{Division: great, Keyboard: console.None, Shift: shift}
	}
	from := func(keyboard, division, shift int, carries console.Carries) console.Coupler {
		return console.Coupler{Division: division, Keyboard: keyboard, Shift: shift, Carries: carries}
	}
	picks := func(p console.Picks) console.Coupler {
		return console.Coupler{Division: pedal, Keyboard: great, Picks: p, Keys: console.Span{From: 36, To: 59}}
	}
	for name, c := range map[string]struct {
		couplers []console.Coupler
		held     []console.Note
		division int
		want     []console.Note
	}{
		"no coupler: the key's own note":                           {nil, []console.Note{60}, great, []console.Note{60}},
		"16 and 4 give three notes, never a ladder":                {[]console.Coupler{own(-12), own(12)}, []console.Note{60}, great, []console.Note{48, 60, 72}},
		"past the end of the division nothing":                     {[]console.Coupler{own(12)}, []console.Note{96}, great, []console.Note{96}},
		"a coupler that carries nothing passes no own coupler":     {[]console.Coupler{own(12), from(swell, great, 0, console.CarriesNone)}, nil, great, nil},
		"an electric coupler does not chain":                       {[]console.Coupler{from(great, swell, 0, console.CarriesNone), from(swell, pedal, 0, console.CarriesNone)}, []console.Note{60}, pedal, nil},
		"a coupler that moves keys chains":                         {[]console.Coupler{from(great, swell, 0, console.CarriesAll), from(swell, pedal, 0, console.CarriesNone)}, []console.Note{60}, pedal, []console.Note{60}},
		"a cycle of couplers that move keys ends":                  {[]console.Coupler{from(great, swell, 12, console.CarriesAll), from(swell, great, -12, console.CarriesAll)}, []console.Note{60}, great, []console.Note{60}},
		"a cycle that climbs ends with the compass":                {[]console.Coupler{from(great, swell, 12, console.CarriesAll), from(swell, great, 0, console.CarriesAll)}, []console.Note{60}, great, []console.Note{60, 72, 84, 96}},
		"a cycle does not hold itself on":                          {[]console.Coupler{from(great, swell, 0, console.CarriesAll), from(swell, great, 0, console.CarriesAll)}, nil, great, nil},
		"the lowest key alone":                                     {[]console.Coupler{picks(console.PicksLowest)}, []console.Note{40, 45, 50, 70}, pedal, []console.Note{40}},
		"the highest key alone, of those it may pick":              {[]console.Coupler{picks(console.PicksHighest)}, []console.Note{40, 45, 50, 70}, pedal, []console.Note{50}},
		"nothing in its keys, nothing picked":                      {[]console.Coupler{picks(console.PicksHighest)}, []console.Note{70}, pedal, nil},
		"the picked key is off the division: nothing in its place": {[]console.Coupler{{Division: pedal, Keyboard: great, Shift: -12, Picks: console.PicksLowest}}, []console.Note{40, 60}, pedal, nil},
	} {
		t.Run(name, func(t *testing.T) {
			in := organ(c.couplers...)
			require.Equal(t, c.want, line(in, everythingOn(in, great, c.held...), c.division))
		})
	}
}
