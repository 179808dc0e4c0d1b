package probe

import (
	"cmp"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/sim/gen"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// tally counts what became of faults.
type tally struct{ heard, seen, named, first int }

// try plants a fault of a class in a generated relay, tries the relay, and
// counts whether the fault is among the mistakes that account for what is
// seen, and whether it is the first of them.
func (t *tally) try(seed uint64, size gen.Size, class string) (missed string) {
	in := gen.Instrument(seed, size)
	relay := gen.Design(seed, in, gen.AnyOptions(seed))
	f, made := gen.Plant(seed, relay, in, class)
	if !made || len(proof.Differing(in, relay)) > 0 || len(proof.Differing(in, f.Relay)) == 0 {
		return ""
	}
	t.heard++
	plan := New(in, relay)
	got := Simulate(plan, f.Relay, in)
	if len(Differ(Simulate(plan, relay, in), got)) == 0 {
		return "not seen: " + f.Description
	}
	t.seen++
	found := Diagnose(plan, relay, in, got)
	for i, x := range found {
		if x.Class == f.Class && (len(f.Pins) == 0 || slices.Equal(sorted(x.Pins), sorted(f.Pins))) {
			t.named++
			if i == 0 {
				t.first++
			}
			return ""
		}
	}
	return "not named: " + f.Description
}

func sorted(pins []wiring.Terminal) []wiring.Terminal {
	pins = slices.Clone(pins)
	slices.SortFunc(pins, func(a, b wiring.Terminal) int { return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.Pin, b.Pin)) })
	return pins
}

// What was done to a relay is among the few mistakes that account for its
// answers; the others of them give the same answers to all of the plan.
func TestMistakesAreNamedByWhatARelayAnswers(t *testing.T) {
	var all tally
	for i, class := range gen.Classes {
		for seed := range uint64(1) {
			if missed := all.try(seed+uint64(i), gen.Tiny, class); missed != "" {
				t.Log(class, seed, missed)
			}
		}
	}
	require.Greater(t, all.heard, 12)
	require.GreaterOrEqual(t, float64(all.seen), 0.97*float64(all.heard))
	require.GreaterOrEqual(t, float64(all.named), 0.95*float64(all.seen))
}

func TestARelayThatAnswersRightHasNoMistakes(t *testing.T) {
	in := gen.Instrument(1, gen.Tiny)
	relay := gen.Design(1, in, gen.AnyOptions(1))
	plan := New(in, relay)
	require.Empty(t, Diagnose(plan, relay, in, Simulate(plan, relay, in)))
}

// BenchmarkNamed tries every class of fault on 300 generated relays in all.
func BenchmarkNamed(b *testing.B) {
	for b.Loop() {
		var all tally
		for i := range uint64(300) {
			all.try(i/uint64(len(gen.Classes)), gen.Tiny, gen.Classes[i%uint64(len(gen.Classes))])
		}
		heard, seen := float64(all.heard), float64(all.seen)
		b.ReportMetric(heard, "heard")
		b.ReportMetric(100*seen/heard, "%seen")
		b.ReportMetric(100*float64(all.named)/seen, "%named")
		b.ReportMetric(100*float64(all.first)/seen, "%named-first")
	}
}

// BenchmarkPlan plans the test of a large relay.
func BenchmarkPlan(b *testing.B) {
	in := gen.Instrument(1, gen.Large)
	relay := gen.Design(1, in, gen.AnyOptions(1))
	for b.Loop() {
		plan := New(in, relay)
		b.ReportMetric(float64(plan.Presses()), "presses")
		b.ReportMetric(float64(plan.OneByOne()), "one-by-one")
	}
}
