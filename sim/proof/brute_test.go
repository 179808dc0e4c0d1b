package proof

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/plain"
	"trundle/sim/equation"
	"trundle/sim/gen"
	"trundle/sim/logic"
	"trundle/sim/wiring"
)

// truth is the proof done by trying every state with the two definitions,
// console/plain and wiring.Run: which valves differ, and the smallest state in
// which one does.
func truth(in *console.Instrument, r *wiring.Relay) (differing []int, smallest []logic.Node) {
	v := equation.NewVariables(in)
	order := logic.NewDecider(nil, nil, nil, len(in.Controls))
	differs := make([]bool, in.Valves)
	for bits := range 1 << v.Count {
		var on []logic.Node
		for n := range v.Count {
			if bits>>n&1 == 1 {
				on = append(on, logic.Node(n))
			}
		}
		s := v.State(on)
		want, got, some := plain.Open(in, s), wiring.Run(r, in, s).Open, false
		for valve := range want {
			if want[valve] != got[valve] {
				differs[valve], some = true, true
			}
		}
		if some && (smallest == nil || order.Compare(on, smallest) < 0) {
			smallest = append([]logic.Node{}, on...)
		}
	}
	for valve, is := range differs {
		if is {
			differing = append(differing, valve)
		}
	}
	return differing, smallest
}

// Every state of minute instruments is tried, with relays that no rule has
// kept in order: the proof says of each valve what trying says, and shows the
// smallest state of all.
func TestVerdictsAreThoseOfEveryState(t *testing.T) {
	count := map[Verdict]int{}
	for seed := range uint64(300) {
		in := gen.Minute(seed)
		relay := gen.Wild(seed, in)
		result := Prove(in, relay)
		count[result.Verdict]++
		if result.Verdict == NotDecided {
			require.NotEmpty(t, wiring.OwnOutcome(relay.Switch), "seed %d", seed)
			continue
		}
		differing, smallest := truth(in, relay)
		require.Equal(t, differing, result.Differing, "seed %d", seed)
		if result.Verdict == Different {
			require.Equal(t, equation.NewVariables(in).State(smallest), result.Counterexample.State, "seed %d", seed)
		}
	}
	require.Greater(t, count[Equal], 100)
	require.Greater(t, count[Different], 50)
	require.Less(t, count[NotDecided], 60, "rows that pick from their own outcome are to be few")
}

// The relay made for an instrument plays it in every state.
func TestDesignsPlayInEveryState(t *testing.T) {
	for seed := range uint64(100) {
		in := gen.Minute(seed)
		relay := gen.Design(seed, in, gen.AnyOptions(seed))
		differing, smallest := truth(in, relay)
		require.Empty(t, differing, "seed %d: %v", seed, smallest)
		require.Equal(t, Equal, Prove(in, relay).Verdict, "seed %d", seed)
	}
}
