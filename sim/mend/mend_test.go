package mend_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/sim/gen"
	"trundle/sim/mend"
	"trundle/sim/proof"
)

// Faults that move wires, or are in the table only, leave every item on a pin
// of its own: a new table cures them all. What is open or bridged it cannot
// cure, and everything wrong is then laid to that.
func TestAMendedRelayPlaysWhateverWasMovedAndNamesWhatIsOpen(t *testing.T) {
	loses := []string{"pin-open", "pins-bridged", "row-missing", "group-open", "run-shifted", "octave-off"} // a shifted run may push its last wires off
	equal, named := map[string]int{}, map[string]int{}
	for seed := range uint64(12) {
		in := gen.Instrument(seed, gen.Tiny)
		relay := gen.Design(seed, in, gen.AnyOptions(seed))
		for _, class := range gen.Classes {
			fault, ok := gen.Plant(seed, relay, in, class)
			if !ok {
				continue
			}
			result := mend.Mend(in, fault.Relay)
			require.Empty(t, result.Unexplained, "%d %s: %s", seed, class, fault.Description)
			if result.Proof.Verdict == proof.Equal {
				require.Empty(t, result.Obstacles)
				equal[class]++
				continue
			}
			require.Equal(t, proof.Different, result.Proof.Verdict)
			require.Contains(t, loses, class, "%d: %s: %v", seed, fault.Description, result.Obstacles)
			require.NotEmpty(t, result.Obstacles, "%d %s: %s", seed, class, fault.Description)
			var valves []int
			for _, o := range result.Obstacles {
				valves = append(valves, o.Valves...)
			}
			slices.Sort(valves)
			require.Equal(t, result.Proof.Differing, slices.Compact(valves))
			named[class]++
		}
	}
	t.Log("equal:", equal, "named:", named)
	require.NotZero(t, named["pin-open"])
	require.NotZero(t, named["pins-bridged"])
	for _, class := range []string{"pins-swapped", "run-shifted", "octave-off", "order-reversed", "wrong-control"} {
		require.NotZero(t, equal[class], class)
	}
}
