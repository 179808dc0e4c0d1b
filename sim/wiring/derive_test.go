package wiring_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

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
