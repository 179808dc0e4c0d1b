package change_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/plain"
	"trundle/sim/change"
	"trundle/sim/gen"
)

// altered is a generated instrument and the same with one thing altered, or
// with nothing but names.
func altered(seed uint64) (old, new *console.Instrument) {
	old, new = gen.Instrument(seed, gen.Tiny), gen.Instrument(seed, gen.Tiny)
	r := rand.New(rand.NewPCG(seed, 5))
	for i := range new.Controls {
		new.Controls[i].Name += " altered"
	}
	switch r.IntN(7) {
	case 0:
		if len(new.Couplers) > 0 {
			new.Couplers[r.IntN(len(new.Couplers))].Shift++
		}
	case 1:
		if c := foreign(new, r); c != nil {
			c.Carries = []console.Carries{console.CarriesNone, console.CarriesOwn}[r.IntN(2)]
		}
	case 2:
		s := &new.Stops[r.IntN(len(new.Stops))]
		s.Takes[r.IntN(len(s.Takes))].Shift++
	case 3:
		if len(new.UnisonOffs) > 0 {
			new.UnisonOffs[0].Cuts = console.CutsAll
		}
	case 4:
		new.Keyboards[r.IntN(len(new.Keyboards))].Keys.To--
	case 5: // another stop, as far as ids tell
		s := new.Stops[r.IntN(len(new.Stops))]
		new.Controls[s.Control].ID = "another"
	}
	return old, new
}

func foreign(in *console.Instrument, r *rand.Rand) *console.Coupler {
	var list []int
	for i, c := range in.Couplers {
		if c.Keyboard != console.None && c.Picks == console.PicksAll {
			list = append(list, i)
		}
	}
	if list == nil {
		return nil
	}
	return &in.Couplers[list[r.IntN(len(list))]]
}

// What is said to be equal sounds the same in every state tried, and what is
// found in a state tried is said to be different. Every example was resolved
// by console/plain before it was given.
func TestCompareAgreesWithStatesTriedOneByOne(t *testing.T) {
	count := map[change.Verdict]int{}
	for seed := range uint64(300) {
		old, new := altered(seed)
		result := change.Compare(old, new)
		r := rand.New(rand.NewPCG(seed, 6))
		for range 60 {
			s, drawn := anyState(r, old, new)
			if !slices.Equal(sounding(old, s, drawn), sounding(new, s, drawn)) {
				require.Equal(t, change.Different, result.Verdict, "seed %d: %+v with %v", seed, s, drawn)
			}
		}
		count[result.Verdict]++
	}
	require.Greater(t, count[change.Equal], 30)
	require.Greater(t, count[change.Different], 100)
}

// anyState is a state by the keys and the ids of both.
func anyState(r *rand.Rand, old, new *console.Instrument) (held []console.Held, drawn map[string]bool) {
	drawn = map[string]bool{}
	for _, in := range []*console.Instrument{old, new} {
		for _, c := range in.Controls {
			if _, known := drawn[c.ID]; !known {
				drawn[c.ID] = r.IntN(2) == 0
			}
		}
	}
	for k, keyboard := range old.Keyboards {
		for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
			if r.IntN(4) == 0 {
				held = append(held, console.Held{Key: console.Key{Keyboard: k, Note: n}, Deep: keyboard.Touches == 2 && r.IntN(2) == 0})
			}
		}
	}
	return held, drawn
}

func sounding(in *console.Instrument, held []console.Held, drawn map[string]bool) []bool {
	s := console.State{Drawn: make([]bool, len(in.Controls))}
	for i, c := range in.Controls {
		s.Drawn[i] = drawn[c.ID]
	}
	for _, h := range held {
		if in.Keyboards[h.Keyboard].Keys.Has(h.Note) {
			s.Held = append(s.Held, h)
		}
	}
	return plain.Open(in, s)
}
