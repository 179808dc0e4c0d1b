package cause

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/sim/gen"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// What a cause claims is wrong without its cure and right with it, and every
// valve that differs is claimed or listed.
func TestCausesClaimWhatTheyCure(t *testing.T) {
	claimed := 0
	for seed := range uint64(40) {
		in := gen.Instrument(seed, gen.Tiny)
		fault := gen.AnyFault(seed, gen.Design(seed, in, gen.AnyOptions(seed)), in)
		again := gen.AnyFault(seed+1000, fault.Relay, in) // two at once
		result := proof.Prove(in, again.Relay)
		if result.Verdict != proof.Different {
			continue
		}
		found := Find(in, again.Relay, result.Differing)
		accounted := slices.Clone(found.Unexplained)
		for _, c := range found.Causes {
			require.NotEmpty(t, c.Valves)
			if !strings.HasPrefix(c.Fix, "what is to be written for ") { // with another
				require.NotEmpty(t, c.Cure)
			}
			require.NotEmpty(t, c.Message)
			accounted = append(accounted, c.Valves...)
			claimed += len(c.Valves)
		}
		for _, v := range result.Differing {
			require.Contains(t, accounted, v, "seed %d", seed)
		}
	}
	require.Positive(t, claimed)
}

// A relay that is right shows no mistake: nothing is suspected where nothing
// differs, so that one fault does not bring others to light.
func TestCleanRelaysRaiseNoSuspicion(t *testing.T) {
	clean := 0
	for seed := range uint64(60) {
		in := gen.Instrument(seed, gen.Small)
		m := newModel(in, gen.Design(seed, in, gen.AnyOptions(seed)))
		m.match(true)
		if len(m.suspects()) == 0 {
			clean++
		}
	}
	require.GreaterOrEqual(t, clean, 57) // a divide under a row that picks takes another form on either side
}

// Patterns worked out by hand: what hangs on six pins where 1 to 6 belong.
func TestPatterns(t *testing.T) {
	for _, c := range []struct {
		name   string
		actual []int
		want   string
	}{
		{"as it should be", []int{1, 2, 3, 4, 5, 6}, ""},
		{"two exchanged", []int{1, 5, 3, 4, 2, 6}, "pins-swapped"},
		{"one too high", []int{0, 1, 2, 3, 4, 5}, "run-shifted"},
		{"two too low", []int{3, 4, 5, 6, 0, 0}, "run-shifted"},
		{"one pin skipped within the run", []int{1, 2, 0, 3, 4, 5}, "run-shifted"},
		{"turned round", []int{6, 5, 4, 3, 2, 1}, "order-reversed"},
		{"every pair exchanged", []int{2, 1, 4, 3, 6, 5}, "pair-exchanged"},
		{"two groups exchanged", []int{3, 4, 1, 2, 5, 6}, "octave-off"},
		{"begun in the wrong place", []int{5, 6, 1, 2, 3, 4}, "wires-off"},
		{"odd ones first", []int{1, 3, 5, 2, 4, 6}, "sides-mixed"},
		{"odd ones first, undone", []int{1, 4, 2, 5, 3, 6}, "sides-mixed"},
		{"one open", []int{1, 2, 0, 4, 5, 6}, "pin-open"},
		{"three open together", []int{1, 0, 0, 0, 5, 6}, "group-open"},
		{"all open", []int{0, 0, 0, 0, 0, 0}, "row-missing"},
		{"open here and there", []int{0, 2, 0, 4, 5, 6}, ""},
		{"three in a ring", []int{2, 3, 1, 4, 5, 6}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			var proper, actual []wiring.Item
			for i, a := range c.actual {
				proper = append(proper, wiring.Item{Kind: wiring.ValveKind, Note: i + 1})
				if a == 0 {
					actual = append(actual, nothing)
				} else {
					actual = append(actual, wiring.Item{Kind: wiring.ValveKind, Note: a})
				}
			}
			require.Equal(t, c.want, pattern(proper, actual))
		})
	}
}
