package cause

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console/plain"
	"trundle/sim/gen"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// Sixty-four states at once open what the definitions open in each: those of
// the relay (wiring.Run) and of the instrument (console/plain).
func TestTrialsAgreeWithTheDefinitions(t *testing.T) {
	heard := 0
	for seed := range uint64(60) {
		size := gen.Tiny
		if seed%3 == 0 {
			size = size.WithCycle()
		}
		in := gen.Instrument(seed, size)
		relay := gen.AnyFault(seed, gen.Design(seed, in, gen.AnyOptions(seed)), in).Relay
		for _, trial := range newTrials(in, 2, proof.Ask(in, relay).Witnesses()) {
			wrong := trial.after(relay)
			for bit := range states {
				state := trial.v.State(trial.at(bit))
				want, got := plain.Open(in, state), wiring.Run(relay, in, state).Open
				for v := range want {
					require.Equal(t, want[v] != got[v], wrong[v]>>bit&1 == 1, "seed %d, valve %d in %v", seed, v, state)
				}
				if len(wrong) > 0 && wrong[0] != 0 {
					heard++
				}
			}
		}
	}
	require.Positive(t, heard)
}
