package cause

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/gen"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// tally counts faults: those that change what sounds; of these those whose
// every effect is accounted for; those named as what they are, alone, and with
// their pins or their row; those for which the one cause named is mended by
// making the relay what it was, under whatever name; and those named, or for
// which the one cause is proven to cure the relay by changing no more cells
// than the fault has changed, so that no observer could tell the two apart.
type tally struct{ heard, explained, named, same, good int }

func (t *tally) add(u tally) {
	t.heard += u.heard
	t.explained += u.explained
	t.named += u.named
	t.same += u.same
	t.good += u.good
}

// diagnosed plants faults of some classes in the relay of a seed, one after
// the other, and says how their diagnosis went. Faults of which one cannot be
// heard by itself count as none.
func diagnosed(seed uint64, classes ...string) (t tally, miss string) {
	in := gen.Instrument(seed, gen.Small)
	clean := gen.Design(seed, in, gen.AnyOptions(seed))
	r, before := clean, clean
	var faults []gen.Fault
	for i, class := range classes {
		alone, ok := gen.Plant(seed+uint64(i), clean, in, class)
		if !ok || len(proof.Differing(in, alone.Relay)) == 0 {
			return t, ""
		}
		fault, ok := gen.Plant(seed+uint64(i), r, in, class)
		if !ok {
			return t, ""
		}
		faults = append(faults, fault)
		before, r = r, fault.Relay
		if i > 0 && masked(in, before, r, alone.Relay) {
			return t, ""
		}
	}
	result := proof.Prove(in, r)
	if result.Verdict != proof.Different {
		return t, ""
	}
	t.heard = 1
	found := find(in, r, result.Differing)
	var suspects []suspect
	claimed := map[int]bool{}
	said := ""
	for _, g := range found {
		suspects = append(suspects, g.suspect)
		for _, v := range g.valves {
			claimed[v] = true
		}
		said += fmt.Sprintf(" %s (%s)", g.rule, g.message)
	}
	if len(claimed) == len(result.Differing) {
		t.explained = 1
	}
	if len(found) == len(faults) {
		cured := apply(r, suspects)
		if len(difference(facts(cured), facts(clean))) == 0 {
			t.same, t.good = 1, 1
		} else if t.explained == 1 && cells(r, cured) <= cells(r, clean) {
			t.good = 1
		}
		t.named = 1
		for _, f := range faults {
			if !slices.ContainsFunc(found, func(g guilty) bool { return names(clean, g.suspect, f) }) {
				t.named = 0
			}
		}
	}
	if t.named == 1 {
		t.good = 1
	} else {
		for _, f := range faults {
			miss += fmt.Sprintf("%d %s: %s; ", seed, f.Class, f.Description)
		}
		miss += fmt.Sprintf("%d of %d explained, same %d, good %d:%.400s", len(claimed), len(result.Differing), t.same, t.good, said)
	}
	return t, miss
}

// masked reports whether a second fault, which is heard alone, makes no
// difference beside the first one in any of many states.
func masked(in *console.Instrument, first, both, second *wiring.Relay) bool {
	for _, r := range []*wiring.Relay{both, second} {
		for _, t := range newTrials(in, 4, proof.Ask(in, r).Witnesses()) {
			if !slices.Equal(t.after(first), t.after(both)) {
				return false
			}
		}
	}
	return true
}

// names reports whether a suspect is a fault as it was planted: its class, and
// the pins it has moved; where it has moved none, the row it has changed.
func names(clean *wiring.Relay, s suspect, f gen.Fault) bool {
	nets := wiring.Nets(clean)
	places := func(pins []wiring.Terminal) map[int]bool {
		on := map[int]bool{}
		for _, t := range pins {
			on[nets.Of(t)] = true
		}
		return on
	}
	switch {
	case s.rule != f.Class:
		return false
	case len(f.Pins) > 0:
		return len(difference(places(s.pins), places(f.Pins))) == 0
	case s.layer == inSwitching && len(f.At) > 0:
		return slices.ContainsFunc(f.At, func(at finding.Place) bool { return at.Line == s.at.Line && at.File == s.at.File })
	}
	return true
}

// facts are what the rows of a relay say, one by one, in whatever rows: what
// hangs on a terminal, which terminals are joined, what a note of a line does.
func facts(r *wiring.Relay) map[string]bool {
	all := map[string]bool{}
	for _, row := range r.Soldered() {
		for at := range min(len(row.Pins), len(row.Items)) {
			if row.Items[at].Kind != wiring.SpareKind {
				all[fmt.Sprint(row.Pins[at], row.Items[at])] = true
			}
		}
	}
	for _, j := range r.Joins {
		for at := range j.From {
			all[fmt.Sprint("join", j.From[at], j.To[at])] = true
		}
	}
	for _, s := range r.Switch {
		var control []string
		for _, l := range s.Control {
			control = append(control, fmt.Sprint(l))
		}
		slices.Sort(control)
		all[fmt.Sprint(s.Kind, s.Line, control, s.To, s.Picks, len(s.Notes) > 0)] = true // the row itself
		for at := range s.Len() {
			all[fmt.Sprint(s.Kind, s.Line, control, s.To, s.Picks, pick(s.Notes, []int{at}), pick(s.Pins, []int{at}), pick(s.ToNotes, []int{at}))] = true
		}
	}
	return all
}

// cells is how many cells of files would have to be written otherwise to make
// one relay of another: one for a row that differs in one thing or is struck
// out, otherwise one for every place of a run.
func cells(a, b *wiring.Relay) int {
	n := 0
	rows, others := slices.Clone(a.Switch), slices.Clone(b.Switch)
	alike := func(s, t wiring.Switch) int {
		apart := 0
		for _, same := range []bool{s.Kind == t.Kind, s.Line == t.Line, slices.Equal(s.Notes, t.Notes), slices.Equal(s.Control, t.Control),
			slices.Equal(s.Pins, t.Pins), s.To == t.To, slices.Equal(s.ToNotes, t.ToNotes), s.Picks == t.Picks} {
			if !same {
				apart++
			}
		}
		return apart
	}
	for most := range 2 { // the same rows first, then those that differ in one thing
		rows = slices.DeleteFunc(rows, func(s wiring.Switch) bool {
			i := slices.IndexFunc(others, func(t wiring.Switch) bool { return alike(s, t) <= most })
			if i < 0 {
				return false
			}
			if t := others[i]; most == 1 && !slices.Equal(s.Pins, t.Pins) {
				for k := range s.Pins {
					if k >= len(t.Pins) || s.Pins[k] != t.Pins[k] {
						n++
					}
				}
			} else {
				n += most
			}
			others = slices.Delete(others, i, i+1)
			return true
		})
	}
	n += len(rows) // struck out as a whole
	for _, s := range others {
		n += s.Len()
	}
	left := func(r *wiring.Relay) *wiring.Relay {
		c := *r
		c.Switch = nil
		return &c
	}
	return n + len(difference(facts(left(a)), facts(left(b))))
}

func difference[K comparable](a, b map[K]bool) (list []K) {
	for k := range a {
		if !b[k] {
			list = append(list, k)
		}
	}
	for k := range b {
		if !a[k] {
			list = append(list, k)
		}
	}
	return list
}

// One fault of every class on each of two relays, and two at once: nearly
// all are accounted for and called what they are. The faults are planted by
// sim/gen, which knows nothing of the diagnosis; BenchmarkDiagnosis measures
// many more.
func TestFaultsAreNamed(t *testing.T) {
	var one, two tally
	for i, class := range gen.Classes {
		for seed := range uint64(2) {
			count, _ := diagnosed(seed+1, class)
			one.add(count)
		}
		if i%2 == 0 {
			count, _ := diagnosed(uint64(i), class, gen.Classes[(i+1)%len(gen.Classes)])
			two.add(count)
		}
	}
	require.Greater(t, one.heard, 30)
	require.GreaterOrEqual(t, one.explained*100, one.heard*98, "%+v", one)
	require.GreaterOrEqual(t, one.good*100, one.heard*96, "%+v", one)
	require.GreaterOrEqual(t, one.named*100, one.heard*90, "%+v", one)
	require.Greater(t, two.heard, 6)
	require.GreaterOrEqual(t, two.explained*100, two.heard*90, "%+v", two)
	require.GreaterOrEqual(t, two.good*100, two.heard*75, "%+v", two)
}

// BenchmarkDiagnosis prints how faults are diagnosed, by class, one of each in
// as many small relays as -benchtime says; two at once, of classes by turns;
// and times the diagnosis of the large relay with three:
//
//	go test ./sim/cause -run '^$' -bench Diagnosis -benchtime 500x
//
// With -v it says what of each was not named.
func BenchmarkDiagnosis(b *testing.B) {
	b.Run("one", func(b *testing.B) {
		counts := make([]tally, len(gen.Classes))
		for seed := range uint64(b.N) {
			for i, class := range gen.Classes {
				count, miss := diagnosed(seed, class)
				counts[i].add(count)
				report(miss)
			}
		}
		printed(b, gen.Classes, counts)
	})
	b.Run("two", func(b *testing.B) {
		var counts [1]tally
		for i := range uint64(b.N) {
			n := uint64(len(gen.Classes))
			count, miss := diagnosed(i, gen.Classes[i%n], gen.Classes[(i+1+i/n)%n])
			counts[0].add(count)
			report(miss)
		}
		printed(b, []string{"two at once"}, counts[:])
	})
	b.Run("large with three", func(b *testing.B) {
		in, relay := threeFaults()
		differing := proof.Prove(in, relay).Differing
		for b.Loop() {
			found := Find(in, relay, differing)
			b.ReportMetric(float64(len(found.Causes)), "causes")
			b.ReportMetric(float64(len(found.Unexplained)), "unexplained")
		}
	})
}

func report(miss string) {
	if miss != "" && testing.Verbose() {
		fmt.Println("  not named:", miss)
	}
}

// printed prints a table, and the sum of it as metrics.
func printed(b *testing.B, names []string, counts []tally) {
	if b.N == 1 {
		return // the trial run of every benchmark
	}
	var sum tally
	fmt.Printf("\n%-20s %6s %10s %6s %6s %6s\n", "", "heard", "explained", "named", "same", "good")
	for i, t := range counts {
		sum.add(t)
		fmt.Printf("%-20s %6d %10d %6d %6d %6d\n", names[i], t.heard, t.explained, t.named, t.same, t.good)
	}
	for name, n := range map[string]int{"%explained": sum.explained, "%named": sum.named, "%same": sum.same, "%good": sum.good} {
		b.ReportMetric(100*float64(n)/float64(max(1, sum.heard)), name)
	}
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
