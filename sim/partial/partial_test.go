package partial_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/sim/gen"
	"trundle/sim/partial"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

func all(r *wiring.Relay, but ...int) (boards []int) {
	for b := range r.Boards {
		if !slices.Contains(but, b) {
			boards = append(boards, b)
		}
	}
	return boards
}

// A fault in the wires of output boards is seen with these boards, whatever
// else is left out, and not without them. With all boards the answer is that
// for the whole relay.
func TestAFaultIsSeenOnItsOwnBoardsOnly(t *testing.T) {
	seen := 0
	for seed := range uint64(16) {
		in := gen.Instrument(seed, gen.Tiny)
		options := gen.AnyOptions(seed)
		options.Wired = true // what is open differs from what is on no plan yet
		relay := gen.Design(seed, in, options)
		for _, class := range []string{"pin-open", "pins-swapped", "run-shifted", "pins-bridged", "row-missing", "group-open"} {
			fault, ok := gen.Plant(seed, relay, in, class)
			if !ok || len(fault.Pins) == 0 {
				continue
			}
			whole := proof.Prove(in, fault.Relay)
			every := partial.To(in, fault.Relay, all(fault.Relay))
			if every.LeftOut == nil {
				require.Equal(t, whole.Differing, proof.Prove(in, every.Relay).Differing, "%d %s", seed, fault.Description)
			}
			nets := wiring.Nets(fault.Relay)
			var boards []int
			output := true
			for _, pin := range fault.Pins {
				if pin.On < 0 {
					output = false
					continue
				}
				for _, at := range nets.Terminals(nets.Of(pin)) {
					if at.On < len(fault.Relay.Boards) {
						boards = append(boards, at.On)
						output = output && fault.Relay.Boards[at.On].Direction == wiring.Output
					}
				}
			}
			if !output || len(whole.Differing) == 0 {
				continue
			}
			with := proof.Prove(in, partial.To(in, fault.Relay, boards).Relay)
			require.Equal(t, proof.Different, with.Verdict, "%d %s", seed, fault.Description)
			require.Subset(t, whole.Differing, with.Differing)
			without := partial.To(in, fault.Relay, all(fault.Relay, boards...))
			got := proof.Prove(in, without.Relay)
			require.Equal(t, proof.Equal, got.Verdict, "%d %s", seed, fault.Description)
			seen++
		}
	}
	require.Greater(t, seen, 20)
}
