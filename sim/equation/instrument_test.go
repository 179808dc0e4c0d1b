package equation

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console/plain"
	"trundle/sim/gen"
	"trundle/sim/logic"
)

// The network of an instrument opens the valves that the definition opens.
func TestInstrumentNetworkAgreesWithTheDefinition(t *testing.T) {
	states, open := 0, 0
	for seed := range uint64(300) {
		in := gen.Instrument(seed, gen.Tiny)
		v := NewVariables(in)
		w := logic.New(v.Count)
		valves := AddInstrument(w, v).Valves
		levels, loop := w.Levels()
		require.Empty(t, loop)
		simple := w.Simplify(nil)
		simpleLevels, _ := simple.Levels()
		before, after := logic.NewEvaluator(w, levels), logic.NewEvaluator(simple, simpleLevels)
		random := rand.New(rand.NewPCG(seed, 1))
		for range 60 {
			on := randomState(random, v)
			before.Set(on)
			after.Set(on)
			for valve, want := range plain.Open(in, v.State(on)) {
				require.Equal(t, want, before.Value(valves[valve]), "seed %d, state %v, valve %d", seed, v.State(on), valve)
				require.Equal(t, want, after.Value(valves[valve]), "simplified: seed %d, state %v, valve %d", seed, v.State(on), valve)
				if want {
					open++
				}
			}
			states++
		}
	}
	require.Greater(t, open, states, "the states hardly sound anything")
}

// randomState draws variables that are true: half the controls and some keys.
func randomState(random *rand.Rand, v Variables) []logic.Node {
	var on []logic.Node
	for n := range logic.Node(v.Count) {
		if share := random.Float64(); int(n) < len(v.in.Controls) && share < 0.5 || int(n) >= len(v.in.Controls) && share < 0.2 {
			on = append(on, n)
		}
	}
	return on
}
