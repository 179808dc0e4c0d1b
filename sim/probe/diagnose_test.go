package probe

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/plain"
	"trundle/sim/fault"
	"trundle/sim/gen"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// tally counts what became of planted faults: those that change what sounds, as
// console/plain and wiring.Run say; of these those that the plan sees; those
// named, which is that after the second round the mistakes left are proven to do
// the same in every state, so that nothing can tell them apart, and the fault is
// one of them by its class and its place; and those of which it is the first.
type tally struct{ heard, seen, named, first, alone, chords int }

func (t *tally) add(u tally) {
	t.heard += u.heard
	t.seen += u.seen
	t.named += u.named
	t.first += u.first
	t.alone += u.alone
	t.chords += u.chords
}

// tried plants a fault of a class in a generated relay, and tries the relay.
func tried(t testing.TB, seed uint64, size gen.Size, class string) (n tally, missed string) {
	in := gen.Instrument(seed, size)
	relay := gen.Design(seed, in, gen.AnyOptions(seed))
	f, made := gen.Plant(seed, relay, in, class)
	if !made || proof.Prove(in, f.Relay).Verdict != proof.Different {
		return n, ""
	}
	n.heard = 1
	plan := New(in, relay)
	got := Simulate(plan, f.Relay, in)
	wrong := Differ(Simulate(plan, relay, in), got)
	if len(wrong) == 0 {
		return n, "not seen: " + f.Description
	}
	require.True(t, isWrong(in, f.Relay, plan, wrong[0]), f.Description)
	n.seen = 1
	left := Diagnose(plan, relay, in, got)
	more, groups := Split(plan, relay, in, left)
	n.chords = more.Presses()
	groups = Narrow(more, in, groups, Simulate(more, f.Relay, in))
	if len(groups) != 1 || !groups[0].Proven {
		return n, fmt.Sprintf("%d groups left of %d: %s", len(groups), len(left), f.Description)
	}
	at := slices.IndexFunc(groups[0].Faults, func(x fault.Fault) bool { return is(x, f) })
	if at < 0 {
		return n, fmt.Sprintf("%s, not %s", groups[0].Faults[0].Class+" "+groups[0].Faults[0].Where, f.Description)
	}
	n.named = 1
	if at == 0 {
		n.first = 1
	}
	if len(groups[0].Faults) == 1 {
		n.alone = 1
	}
	return n, ""
}

// isWrong reports whether a valve really is wrong in a chord of a plan, as the
// definitions have it.
func isWrong(in *console.Instrument, r *wiring.Relay, p Plan, w Wrong) bool {
	s := stateOf(in, p.Steps[w.Step].Draw, p.Steps[w.Step].Chords[w.Chord])
	return plain.Open(in, s)[w.Valve] != wiring.Run(r, in, s).Open[w.Valve]
}

// is reports whether a mistake is a fault as it was planted: its class, its table,
// and the pins that it moves, or else the rows that it changes.
func is(x fault.Fault, f gen.Fault) bool {
	in := fault.Soldered
	switch f.In {
	case "join":
		in = fault.Joined
	case "read", "couple", "drive":
		in = fault.Switching
	}
	switch {
	case x.Class != f.Class:
		return false
	case f.Class == "boards-swapped":
		return f.Description == "boards "+strings.Replace(x.Where, " exchanged", " are exchanged", 1)
	case len(f.Pins) > 0:
		return x.In == in && slices.Equal(sorted(x.Pins), sorted(f.Pins))
	}
	return x.In == in && slices.Equal(facts(x.Relay), facts(f.Relay))
}

// facts are what a switching table says, note by note, in whatever rows.
func facts(r *wiring.Relay) (list []string) {
	for _, s := range r.Switch {
		control := slices.Clone(s.Control)
		slices.SortFunc(control, func(a, b wiring.Literal) int { return cmp.Compare(fmt.Sprint(a), fmt.Sprint(b)) })
		for at := range s.Len() {
			fact := fmt.Sprint(s.Kind, s.Line, control, s.To, s.Picks)
			if at < len(s.Notes) {
				fact += fmt.Sprint(" from ", s.Notes[at])
			}
			if at < len(s.Pins) {
				fact += fmt.Sprint(" at ", s.Pins[at])
			}
			if at < len(s.ToNotes) {
				fact += fmt.Sprint(" to ", s.ToNotes[at])
			}
			list = append(list, fact)
		}
	}
	slices.Sort(list)
	return list
}

func sorted(pins []wiring.Terminal) []wiring.Terminal {
	pins = slices.Clone(pins)
	slices.SortFunc(pins, func(a, b wiring.Terminal) int { return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.Pin, b.Pin)) })
	return pins
}

// Two faults of every class in tiny relays, and one of every fourth in a small
// one: all that change what sounds are seen, and nearly all are named.
// BenchmarkNamed tries many more.
func TestFaultsAreSeenAndNamed(t *testing.T) {
	var all tally
	for i, class := range gen.Classes {
		sizes := []gen.Size{gen.Tiny, gen.Tiny}
		if i%4 == 0 {
			sizes = append(sizes, gen.Small)
		}
		for at, size := range sizes {
			n, missed := tried(t, uint64(i+at), size, class)
			if all.add(n); missed != "" {
				t.Log(class, i+at, missed)
			}
		}
	}
	require.Greater(t, all.heard, 30)
	require.Equal(t, all.heard, all.seen)
	require.GreaterOrEqual(t, all.named*100, all.heard*95, "%+v", all)
}

func TestARelayThatAnswersRightHasNoMistakes(t *testing.T) {
	in := gen.Instrument(1, gen.Tiny)
	relay := gen.Design(1, in, gen.AnyOptions(1))
	plan := New(in, relay)
	require.Empty(t, Diagnose(plan, relay, in, Simulate(plan, relay, in)))
}

// BenchmarkNamed prints what became of faults by class, in as many small relays
// as -benchtime says, of classes by turns:
//
//	go test ./sim/probe -run '^$' -bench Named -benchtime 300x
//
// With -v it says which were not seen or not named.
func BenchmarkNamed(b *testing.B) {
	if b.N == 1 {
		return // the trial run of every benchmark
	}
	counts, sum := make([]tally, len(gen.Classes)), tally{}
	for i := range b.N {
		class := i % len(gen.Classes)
		n, missed := tried(b, uint64(i), gen.Small, gen.Classes[class])
		counts[class].add(n)
		if missed != "" && testing.Verbose() {
			fmt.Println("  ", i, gen.Classes[class], missed)
		}
	}
	fmt.Printf("\n%-20s %6s %6s %6s %6s %6s %8s\n", "", "heard", "seen", "named", "first", "alone", "chords")
	for i, n := range counts {
		sum.add(n)
		fmt.Printf("%-20s %6d %6d %6d %6d %6d %8.1f\n", gen.Classes[i], n.heard, n.seen, n.named, n.first, n.alone, float64(n.chords)/float64(max(1, n.heard)))
	}
	for name, n := range map[string]int{"%seen": sum.seen, "%named": sum.named, "%named-first": sum.first, "%alone": sum.alone} {
		b.ReportMetric(100*float64(n)/float64(max(1, sum.heard)), name)
	}
	b.ReportMetric(float64(sum.heard), "heard")
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
