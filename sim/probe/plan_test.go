package probe

import (
	"reflect"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/gen"
	"trundle/sim/proof"
)

// Of any two of some things there is a set with the one and without the other
// (Kautz 1974; with the complements, Wagner 1987), in 2 * ceil(log2(n + 2)) sets.
func TestCountingSetsTellAnyTwoApart(t *testing.T) {
	for n := 1; n < 70; n++ {
		sets := Counting(n)
		has := make([][]bool, n)
		for i := range has {
			has[i] = make([]bool, len(sets))
		}
		for s, set := range sets {
			for _, i := range set {
				has[i][s] = true
			}
		}
		for a := range n {
			for b := range n {
				apart := a == b
				for s := range sets {
					apart = apart || has[a][s] && !has[b][s]
				}
				require.True(t, apart, "%d of %d without %d", a, n, b)
			}
		}
	}
	require.Len(t, Counting(61), 12)
}

func TestThePlanOfTheSameRelayIsTheSame(t *testing.T) {
	for seed := range uint64(3) {
		in := gen.Instrument(seed, gen.Small)
		relay := gen.Design(seed, in, gen.AnyOptions(seed))
		require.Equal(t, New(in, relay), New(in, relay))
	}
}

func TestNoShiftLeadsToANoteOfTheSameSparseChord(t *testing.T) {
	for _, shift := range []console.Note{1, 5, 7, 10, 12, 24, 36, 48} {
		for n := console.Note(0); n+shift <= console.HighestNote; n++ {
			require.NotEqual(t, sparseChord(n), sparseChord(n+shift), "%d and %d", n, n+shift)
		}
	}
}

// A fault that changes what sounds, as the proof knows, changes some answer.
func TestFaultsThatAreHeardAreSeen(t *testing.T) {
	heard, seen := 0, 0
	for seed := range uint64(5) {
		in := gen.Instrument(seed, gen.Small)
		relay := gen.Design(seed, in, gen.AnyOptions(seed))
		if len(proof.Differing(in, relay)) > 0 {
			continue
		}
		plan := New(in, relay)
		require.Less(t, plan.Presses()*3, plan.OneByOne())
		want := Simulate(plan, relay, in)
		for _, class := range gen.Classes {
			f, made := gen.Plant(seed, relay, in, class)
			if !made || len(proof.Differing(in, f.Relay)) == 0 {
				continue
			}
			heard++
			if !reflect.DeepEqual(want, Simulate(plan, f.Relay, in)) {
				seen++
			}
		}
	}
	require.Greater(t, heard, 60)
	require.Equal(t, heard, seen)
}

// The stops are drawn so that each valve is opened by one key only.
func TestOnePathLeadsToEachValveWhereStopsAreCoded(t *testing.T) {
	in := gen.Instrument(3, gen.Small)
	p := newPlanner(in)
	p.stops()
	for _, step := range p.plan.Steps {
		sounding := console.NewSounding(in)
		for _, c := range step.Draw {
			sounding.Apply(console.TurnOn(c))
		}
		by := map[int]console.Key{}
		for _, key := range p.keys(p.keyboards()) {
			for _, v := range append([]int{}, sounding.Apply(console.KeyDeep(key))...) {
				other, twice := by[v]
				require.False(t, twice && !folded(in, step.Draw, v), "valve %d by %v and %v", v, other, key)
				by[v] = key
			}
			sounding.Apply(console.KeyUp(key))
		}
	}
}

// folded reports whether a stop that is drawn takes a valve for several notes.
func folded(in *console.Instrument, draw []int, valve int) bool {
	for _, stop := range in.Stops {
		if !slices.Contains(draw, stop.Control) {
			continue
		}
		notes := map[console.Note]bool{}
		for _, take := range stop.Takes {
			span := in.Divisions[stop.Division].Notes.Cut(stop.Notes).Cut(take.Notes)
			for n := span.From; n <= span.To; n++ {
				if in.Wants(take, n) == valve {
					notes[n] = true
				}
			}
		}
		if len(notes) > 1 {
			return true
		}
	}
	return false
}
