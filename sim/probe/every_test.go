package probe

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/sim/fault"
	"trundle/sim/gen"
)

// Diagnose leaves out what cannot be, and runs what is left 64 chords at once.
// It finds what is found by making every mistake in a copy of the relay and
// asking the copy for all answers.
func TestDiagnoseAgreesWithTryingEveryMistake(t *testing.T) {
	found := 0
	for seed := range uint64(4) {
		in := gen.Instrument(seed, gen.Tiny)
		relay := gen.Design(seed, in, gen.AnyOptions(seed))
		planted := gen.AnyFault(seed, relay, in)
		plan := New(in, relay)
		got := Simulate(plan, planted.Relay, in)
		if len(Differ(Simulate(plan, relay, in), got)) == 0 {
			continue
		}
		want := map[string]bool{}
		for _, site := range fault.Sites(relay, in) {
			for i := range site.Count {
				if f := site.Way(i); len(Differ(got, Simulate(plan, f.Relay, in))) == 0 {
					want[f.Class+" "+f.Where] = true
				}
			}
		}
		is := map[string]bool{}
		for _, f := range Diagnose(plan, relay, in, got) {
			is[f.Class+" "+f.Where] = true
		}
		require.Equal(t, want, is, "%d %s", seed, planted.Description)
		found += len(is)
	}
	require.Positive(t, found)
}
