package cause

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/gen"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// alike are classes of faults that cannot be told apart by what the relay
// does, or only by knowing how it came about: a row of one pin left out is an
// open pin, plugs of two whole ranks exchanged are two ranks exchanged.
var alike = map[string][]string{
	"row-missing":        {"pin-open", "group-open"},
	"group-open":         {"row-missing"},
	"plugs-swapped":      {"pins-swapped", "ranks-swapped", "keyboards-swapped", "boards-swapped"},
	"ranks-swapped":      {"plugs-swapped"},
	"keyboards-swapped":  {"plugs-swapped"},
	"unison-off-extra":   {"literal-extra"},
	"unison-off-missing": {"literal-missing"},
	"octave-off":         {"pins-swapped"},
	"pair-exchanged":     {"pins-swapped"},
	"order-reversed":     {"pins-swapped"},
	"wrong-division":     {"wrong-direction"},
}

// tally counts faults of a class: those that change what sounds, those whose
// every effect is accounted for, and those named as what they are, alone.
type tally struct{ heard, explained, named int }

// diagnosed plants one fault of every class in so many small relays each.
func diagnosed(seeds int) map[string]*tally {
	counts := map[string]*tally{}
	for _, class := range gen.Classes {
		counts[class] = &tally{}
		for seed := range uint64(seeds) {
			in := gen.Instrument(seed, gen.Small)
			fault, ok := gen.Plant(seed, gen.Design(seed, in, gen.AnyOptions(seed)), in, class)
			if !ok {
				continue
			}
			result := proof.Prove(in, fault.Relay)
			if result.Verdict != proof.Different {
				continue
			}
			t := counts[class]
			t.heard++
			found := Find(in, fault.Relay, result.Differing)
			if len(found.Unexplained) == 0 {
				t.explained++
			}
			if len(found.Causes) == 1 && (found.Causes[0].Rule == class || slices.Contains(alike[class], found.Causes[0].Rule)) {
				t.named++
			}
		}
	}
	return counts
}

func total(counts map[string]*tally) (sum tally) {
	for _, t := range counts {
		sum.heard, sum.explained, sum.named = sum.heard+t.heard, sum.explained+t.explained, sum.named+t.named
	}
	return sum
}

// One fault of every class on each of five relays: nearly all are accounted
// for and called what they are. The faults are planted by sim/gen, which knows
// nothing of the diagnosis; BenchmarkDiagnosis measures many more.
func TestFaultsAreNamed(t *testing.T) {
	sum := total(diagnosed(5))
	require.Greater(t, sum.heard, 80)
	require.GreaterOrEqual(t, sum.explained*100, sum.heard*90, "%+v", sum)
	require.GreaterOrEqual(t, sum.named*100, sum.heard*80, "%+v", sum)
}

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
			require.True(t, c.Certain)
			require.NotEmpty(t, c.Valves)
			require.NotEmpty(t, c.Cure)
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

// BenchmarkDiagnosis prints how the faults of each class are diagnosed, 20
// relays a class, and times the diagnosis of the large relay with three faults.
func BenchmarkDiagnosis(b *testing.B) {
	b.Run("classes", func(b *testing.B) {
		for b.Loop() {
			counts := diagnosed(20)
			lines := ""
			for _, class := range gen.Classes {
				t := counts[class]
				lines += fmt.Sprintf("\n%-20s heard %3d, all accounted for %3d, named alone %3d", class, t.heard, t.explained, t.named)
			}
			sum := total(counts)
			b.Log(lines)
			b.ReportMetric(100*float64(sum.explained)/float64(sum.heard), "%explained")
			b.ReportMetric(100*float64(sum.named)/float64(sum.heard), "%named")
		}
	})
	b.Run("large with three faults", func(b *testing.B) {
		in, relay := threeFaults()
		differing := proof.Prove(in, relay).Differing
		b.ResetTimer()
		for b.Loop() {
			found := Find(in, relay, differing)
			b.ReportMetric(float64(len(found.Causes)), "causes")
			b.ReportMetric(float64(len(found.Unexplained)), "unexplained")
		}
	})
}

// threeFaults is the large instrument and its relay with a fault in the
// wiring, one in the switching and one on paper between.
func threeFaults() (*console.Instrument, *wiring.Relay) {
	in := gen.Instrument(1, gen.Large)
	relay := gen.Design(1, in, gen.Options{Strips: true, Cables: true})
	for i, class := range []string{"pins-swapped", "wrong-control", "pin-open"} {
		if fault, ok := gen.Plant(uint64(i), relay, in, class); ok {
			relay = fault.Relay
		}
	}
	return in, relay
}
