package probe

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/fault"
	"trundle/sim/gen"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// several counts what became of relays with several mistakes, each of which
// changes what sounds as the others leave it: those in which all that was seen is
// accounted for, and those of which each mistake is among the ways of one.
type several struct{ heard, accounted, named int }

// triedTogether makes mistakes one after the other in a generated relay, and tries it.
func triedTogether(t testing.TB, seed uint64, size gen.Size, many int) (n several, missed string) {
	in := gen.Instrument(seed, size)
	relay := gen.Design(seed, in, gen.AnyOptions(seed))
	luck := rand.New(rand.NewPCG(seed, uint64(many)))
	x, made, befores := relay, []gen.Fault{}, []*wiring.Relay{}
	for tries := 0; len(made) < many && tries < 40; tries++ {
		f, is := gen.Plant(luck.Uint64(), x, in, gen.Classes[luck.IntN(len(gen.Classes))])
		if is && differs(in, x, f.Relay) && differs(in, relay, f.Relay) {
			befores = append(befores, x)
			x, made = f.Relay, append(made, f)
		}
	}
	if len(made) < many {
		return n, ""
	}
	n.heard = 1
	plan := New(in, relay)
	got := Simulate(plan, x, in)
	list, left := Together(plan, relay, in, got)
	var said []string
	for _, m := range list {
		said = append(said, fmt.Sprint(len(m.Ways), " ", m.Ways[0].Class, ": ", m.Ways[0].Where))
	}
	var planted []string
	for _, f := range made {
		planted = append(planted, f.Description)
	}
	if len(left) > 0 {
		return n, fmt.Sprintf("%d left: %q, not %q", len(left), said, planted)
	}
	for _, m := range list {
		require.Empty(t, Differ(Simulate(plan, m.Ways[0].Relay, in), got))
	}
	n.accounted = 1
	for i, f := range made {
		if !slices.ContainsFunc(list, func(m Mistake) bool {
			return slices.ContainsFunc(m.Ways, func(w fault.Fault) bool { return beside(w, m.With, f, befores[i]) })
		}) {
			return n, fmt.Sprintf("%q, not %q", said, planted)
		}
	}
	n.named = 1
	return n, ""
}

func differs(in *console.Instrument, a, b *wiring.Relay) bool {
	verdict, _ := proof.Alike(in, a, b)
	return verdict == proof.Different
}

// beside reports whether a mistake that was found beside others is one that was
// planted in a relay that had others: its class, and its pins or what it changes
// in the table.
func beside(w fault.Fault, with *wiring.Relay, f gen.Fault, before *wiring.Relay) bool {
	if len(f.Pins) > 0 || w.Class != f.Class || f.Class == "boards-swapped" {
		return is(w, f)
	}
	return slices.Equal(less(facts(w.Relay), facts(with)), less(facts(f.Relay), facts(before))) &&
		slices.Equal(less(facts(with), facts(w.Relay)), less(facts(before), facts(f.Relay)))
}

// less is a list without what another has.
func less(list, but []string) []string {
	return slices.DeleteFunc(list, func(s string) bool { return slices.Contains(but, s) })
}

// Two and three mistakes of any class in tiny relays, however they meet. What is
// accounted for is proven by the answers; that most is what is held here.
func TestSeveralMistakesAreAccountedForTogether(t *testing.T) {
	for many, least := range map[int]several{2: {accounted: 80, named: 50}, 3: {accounted: 65, named: 20}} {
		var all several
		for seed := range uint64(24) {
			n, missed := triedTogether(t, seed, gen.Tiny, many)
			all.heard += n.heard
			all.accounted += n.accounted
			if all.named += n.named; missed != "" {
				t.Log(seed, missed)
			}
		}
		t.Logf("%d: %+v", many, all)
		require.Greater(t, all.heard, 15)
		require.GreaterOrEqual(t, all.accounted*100, all.heard*least.accounted, "%+v", all)
		require.GreaterOrEqual(t, all.named*100, all.heard*least.named, "%+v", all)
	}
}
