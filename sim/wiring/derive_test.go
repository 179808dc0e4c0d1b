package wiring_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/plain"
	"trundle/sim/gen"
	"trundle/sim/wiring"
)

// The derived relay must do what section 4 of the definition says, as
// console/plain reads it: nothing in this package is shared with that.
func TestADerivedRelayPlaysItsInstrument(t *testing.T) {
	open, states := 0, 0
	for seed := range uint64(140) {
		size := gen.Tiny
		if seed >= 120 {
			size = gen.Small
		}
		in := gen.Instrument(seed, size)
		rng := rand.New(rand.NewPCG(seed, 11))
		if seed%2 == 1 {
			stir(rng, in)
		}
		r := planned(in, seed)
		r.Switch = wiring.Derive(r, in)
		for range 40 {
			s := anyState(rng, in)
			want, got := plain.Open(in, s), wiring.Run(r, in, s).Open
			for _, rank := range in.Ranks {
				for v := 1; v <= rank.Pipes; v++ {
					if want[rank.Valve(v)] {
						open++
					}
					require.Equalf(t, want[rank.Valve(v)], got[rank.Valve(v)], "seed %d: valve %d of %s, drawn %v, held %v", seed, v, rank.ID, s.Drawn, s.Held)
				}
			}
			states++
		}
	}
	require.GreaterOrEqual(t, states, 2000)
	require.Greater(t, open, 10_000, "so many valves must have been open, or nothing was compared")
}

// Keys high up, coupled up two octaves: half of them land where no file can
// name a note, and still hold the place of the highest.
func TestACouplerPicksKeysThatLandBeyondAllNotes(t *testing.T) {
	high, top := console.Span{From: 100, To: 107}, console.Span{From: 120, To: 127}
	for _, picks := range []console.Picks{console.PicksLowest, console.PicksHighest} {
		in := &console.Instrument{
			Keyboards: []console.Keyboard{{ID: "high", Keys: high, Touches: 1}, {ID: "top", Keys: top, Touches: 1}},
			Divisions: []console.Division{{ID: "top", Keyboard: 1, Notes: top}},
			Chests:    []console.Chest{{ID: "top", Kind: console.Unit, Plays: []int{0}}},
			Ranks:     []console.Rank{{ID: "flute", From: 120, Pipes: 8, Stands: []console.Stand{{Chest: 0, From: 1, To: 8}}}},
			Stops:     []console.Stop{{ID: "flute-8", Notes: console.AllNotes, Touch: 1, Takes: []console.Take{{Notes: console.AllNotes}}}},
			Couplers:  []console.Coupler{{ID: "up", Shift: 24, Carries: console.CarriesNone, Picks: picks, Keys: console.AllNotes, Touch: 1, Control: 1}},
			Controls:  []console.Control{{ID: "flute-8", Kind: console.StopControl}, {ID: "up", Kind: console.CouplerControl}},
			Valves:    8,
		}
		r := planned(in, 1)
		r.Switch = wiring.Derive(r, in)
		for _, row := range r.Switch {
			for _, n := range row.ToNotes {
				require.True(t, console.AllNotes.Has(n), "no file can name note %d", int(n))
			}
		}
		for chord := range 1 << high.Len() {
			s := console.State{Drawn: []bool{true, true}}
			for i := range high.Len() {
				if chord>>i&1 == 1 {
					s.Held = append(s.Held, console.Held{Key: console.Key{Keyboard: 0, Note: high.From + console.Note(i)}})
				}
			}
			require.Equal(t, plain.Open(in, s), wiring.Run(r, in, s).Open, "%s of %v", picks, s.Held)
		}
	}
}

// A chest whose stops all read the second contact follows that: its note lines
// have no use for the first.
func TestNoteLinesFollowTheContactThatTheirStopsRead(t *testing.T) {
	keys := console.Span{From: 36, To: 39}
	in := &console.Instrument{
		Keyboards: []console.Keyboard{{ID: "solo", Keys: keys, Touches: 2}},
		Divisions: []console.Division{{ID: "solo", Notes: keys}},
		Chests:    []console.Chest{{ID: "solo", Kind: console.Slider, Notes: keys, Plays: []int{0}}},
		Ranks:     []console.Rank{{ID: "tuba", From: 36, Pipes: 4, Stands: []console.Stand{{Chest: 0, From: 1, To: 4}}}},
		Stops:     []console.Stop{{ID: "tuba-8", Notes: console.AllNotes, Touch: 2, Takes: []console.Take{{Notes: console.AllNotes}}}},
		Controls:  []console.Control{{ID: "tuba-8", Kind: console.StopControl}},
		Valves:    4,
	}
	r := planned(in, 1)
	r.Switch = wiring.Derive(r, in)
	for _, deep := range []bool{false, true} {
		s := console.State{Drawn: []bool{true}, Held: []console.Held{{Key: console.Key{Keyboard: 0, Note: 37}, Deep: deep}}}
		want := plain.Open(in, s)
		require.Equal(t, deep, want[1])
		require.Equal(t, want, wiring.Run(r, in, s).Open)
	}
}

// A stop none of whose notes a rank has does not work the rank's action, and a
// division that no key reaches has no rows: nothing would ever set its line.
func TestADerivedRelayHasNoRowsForWhatNeverSounds(t *testing.T) {
	keys := console.Span{From: 36, To: 39}
	in := &console.Instrument{
		Keyboards: []console.Keyboard{{ID: "great", Keys: keys, Touches: 1}},
		Divisions: []console.Division{{ID: "great", Notes: keys}, {ID: "echo", Keyboard: console.None, Notes: keys}},
		Chests: []console.Chest{
			{ID: "great", Kind: console.Slider, Notes: keys, Plays: []int{0}},
			{ID: "echo", Kind: console.Slider, Notes: keys, Plays: []int{1}},
		},
		Ranks: []console.Rank{
			{ID: "flute", From: 36, Pipes: 4, Stands: []console.Stand{{Chest: 0, From: 1, To: 4}}},
			{ID: "viola", From: 36, Pipes: 4, Stands: []console.Stand{{Chest: 1, From: 1, To: 4}}, First: 4},
		},
		Stops: []console.Stop{
			{ID: "flute-8", Notes: console.AllNotes, Touch: 1, Takes: []console.Take{{Notes: console.AllNotes}}},
			{ID: "beyond", Notes: console.AllNotes, Touch: 1, Control: 1, Takes: []console.Take{{Notes: console.AllNotes, Shift: 12}}},
			{ID: "viola-8", Notes: console.AllNotes, Touch: 1, Control: 2, Division: 1, Takes: []console.Take{{Rank: 1, Notes: console.AllNotes}}},
		},
		Controls: []console.Control{{ID: "flute-8", Kind: console.StopControl}, {ID: "beyond", Kind: console.StopControl}, {ID: "viola-8", Kind: console.StopControl}},
		Valves:   8,
	}
	r := planned(in, 1)
	r.Switch = wiring.Derive(r, in)
	for _, row := range r.Switch {
		if row.Kind != wiring.Read {
			require.NotEqual(t, "echo", row.Line)
		}
	}
	for stop := range in.Stops {
		s := console.State{Drawn: make([]bool, 3), Held: []console.Held{{Key: console.Key{Note: 37}}}}
		s.Drawn[stop] = true
		require.Equal(t, plain.Open(in, s), wiring.Run(r, in, s).Open, in.Stops[stop].ID)
	}
}
