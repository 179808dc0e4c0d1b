package proof

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/sim/gen"
	"trundle/sim/wiring"
)

// A relay that is proven right is like another exactly when that one is proven
// right too; and the state that tells two apart does, as both run.
func TestRelaysAreComparedWithEachOther(t *testing.T) {
	count := map[Verdict]int{}
	for seed := range uint64(60) {
		in := gen.Instrument(seed, gen.Tiny)
		clean := gen.Design(seed, in, gen.AnyOptions(seed))
		faulted := gen.AnyFault(seed, clean, in).Relay
		verdict, state := Alike(in, clean, faulted)
		require.Equal(t, Prove(in, faulted).Verdict, verdict, "seed %d", seed)
		if verdict == Different {
			require.False(t, slices.Equal(wiring.Run(clean, in, state).Open, wiring.Run(faulted, in, state).Open))
		}
		count[verdict]++
	}
	require.Greater(t, count[Equal], 5)
	require.Greater(t, count[Different], 20)
}
