package listen

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/fault"
	"trundle/sim/gen"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// tries are what a plan plays, in its order.
func (p Plan) tries() (list []Try) {
	for _, s := range p.Steps {
		for _, held := range s.Held {
			list = append(list, Try{s.Draw, held})
		}
	}
	return list
}

// firstWrong is the first try of a plan in which a mistake is heard.
func (p Plan) firstWrong(e ear) (Try, bool) {
	for _, t := range p.tries() {
		if e.wrong(t) {
			return t, true
		}
	}
	return Try{}, false
}

// Every way of making every mistake is tried; what is not heard is proven, by
// what knows nothing of listening, to change nothing. What is proven to show only
// in pipes without wind, or not decided, the plan says itself.
func TestAPlanHearsEverySingleMistakeThatCanBeHeard(t *testing.T) {
	for seed := range uint64(3) {
		in := gen.Instrument(seed, gen.Tiny)
		relay := gen.Design(seed, in, gen.AnyOptions(seed))
		l := New(in, relay)
		plan := l.Plan(2)
		undecided := map[string]int{}
		for _, u := range plan.Undecided {
			undecided[u.Class] = u.Count
		}
		require.Less(t, plan.Presses(), plan.OneByOne)
		heard, all := 0, 0
		for _, site := range l.sites() {
			for i := range site.Count {
				all++
				f := site.Way(i)
				if _, is := plan.firstWrong(ear{in, f.Relay}); is {
					heard++
				} else if proof.Prove(in, f.Relay).Verdict != proof.Equal {
					undecided[f.Class]--
				}
			}
		}
		require.Equal(t, plan.Mistakes, all)
		require.Equal(t, plan.Heard, heard, "seed %d", seed)
		for class, left := range undecided {
			require.GreaterOrEqual(t, left, 0, "seed %d: %s", seed, class)
		}
	}
}

// planted are mistakes of every class, made by what tests of the causes use.
func planted(in *console.Instrument, relay *wiring.Relay, seed uint64) (list []gen.Fault) {
	for _, class := range gen.Classes {
		if f, made := gen.Plant(seed, relay, in, class); made && len(proof.Differing(in, f.Relay)) > 0 {
			list = append(list, f)
		}
	}
	return list
}

func TestAPlanHearsMistakesThatOthersPlant(t *testing.T) {
	l := saltmarsh(t)
	plan := l.Plan(2)
	require.Less(t, plan.Presses()*3, plan.OneByOne*2)
	for _, f := range planted(l.in, l.r, 1) {
		_, is := plan.firstWrong(ear{l.in, f.Relay})
		require.True(t, is, f.Description)
	}
}

// BenchmarkPlan plans for the relay of the example, and for one of a very large organ.
func BenchmarkPlan(b *testing.B) {
	in := gen.Instrument(1, gen.Large)
	large := New(in, gen.Design(1, in, gen.AnyOptions(1)))
	for name, l := range map[string]*Listener{"saltmarsh": saltmarsh(b), "large": large} {
		for what, l := range map[string]*Listener{"all": l, "wiring": l.InWiring()} {
			b.Run(name+"/"+what, func(b *testing.B) {
				var plan Plan
				for b.Loop() {
					plan = l.Plan(2)
				}
				undecided := 0
				for _, u := range plan.Undecided {
					undecided += u.Count
				}
				b.ReportMetric(float64(plan.Presses()), "presses")
				b.ReportMetric(float64(len(plan.Steps)), "registrations")
				b.ReportMetric(float64(plan.Mistakes), "mistakes")
				b.ReportMetric(float64(undecided), "undecided")
			})
		}
	}
}

// To hear of only the wiring takes far fewer registrations.
func TestAPlanForTheWiringAlone(t *testing.T) {
	l := saltmarsh(t)
	plan := l.InWiring().Plan(2)
	require.Empty(t, plan.Undecided)
	for _, site := range l.sites() {
		if site.In == fault.Switching {
			continue
		}
		f := site.Way(site.Count / 2)
		if len(proof.Differing(l.in, f.Relay)) > 0 {
			_, is := plan.firstWrong(ear{l.in, f.Relay})
			require.True(t, is, f.Class+": "+f.Where)
		}
	}
}

// Three sets that meet in one number need that one; the sets are written by hand.
func TestCoverTakesWhatMostHaveInCommon(t *testing.T) {
	group := make([]int32, 6)
	require.Equal(t, []int32{3}, cover([][]int32{{1, 3}, {2, 3}, {3, 4}}, group, 1, make([]bool, 9)))
	require.ElementsMatch(t, []int32{0, 5}, cover([][]int32{{0}, {0, 1}, {2, 5}, {4, 5}, {5, 1}}, group, 1, make([]bool, 9)))
	require.Empty(t, cover(nil, nil, 1, nil))
	// What is begun already is cheaper than what is not.
	require.ElementsMatch(t, []int32{0, 1}, cover([][]int32{{0}, {1, 2}}, []int32{7, 7, 8}, 4, make([]bool, 9)))
	require.ElementsMatch(t, []int32{0, 2}, cover([][]int32{{0}, {1, 2}}, []int32{7, 8, 7}, 4, make([]bool, 9)))
}
