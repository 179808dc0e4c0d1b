package cause

import (
	"cmp"
	"math/bits"
	"slices"

	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// many is how many guesses are put together, those that mend most.
const many = 240

// pair is two guesses that together cure all, as a proof says. What both leave
// wrong may still be right when both are mended, so it only counts against them.
func (g *guesser) pair() ([]guess, bool) {
	wrong := 0
	for _, v := range g.wrong {
		wrong += bits.OnesCount64(g.now.wrong[v])
	}
	best := g.telling()
	type couple struct {
		set    []guess
		shared int
	}
	var open []couple
	for j, b := range best {
		for _, a := range best[:j] {
			if shared := shared(a, b); shared*3 <= wrong && a.apart(b) {
				open = append(open, couple{[]guess{a, b}, shared})
			}
		}
	}
	slices.SortStableFunc(open, func(a, b couple) int {
		return cmp.Or(a.shared-b.shared, a.set[0].size+a.set[1].size-b.set[0].size-b.set[1].size)
	})
	const tried = 600
	var whole [][]guess
	for _, o := range open[:min(len(open), tried)] {
		if !wrongIn(g.trial, g.cured(o.set)) {
			whole = append(whole, o.set)
		}
	}
	slices.SortStableFunc(whole, func(a, b []guess) int { return a[0].size + a[1].size - b[0].size - b[1].size })
	return g.proven(whole)
}

// telling are the guesses that mend most, of those that mend the same only the
// few that change least.
func (g *guesser) telling() []guess {
	list := slices.Clone(g.guesses)
	slices.SortStableFunc(list, func(a, b guess) int { return a.size - b.size })
	slices.SortStableFunc(list, func(a, b guess) int { return b.gone - b.more - a.gone + a.more })
	const alike = 6
	var kept []guess
	for i := range list {
		same := 0
		for k := len(kept) - 1; k >= 0 && kept[k].gone-kept[k].more == list[i].gone-list[i].more; k-- {
			if slices.Equal(kept[k].left, list[i].left) {
				same++
			}
		}
		if same < alike && len(kept) < many {
			kept = append(kept, list[i])
		}
	}
	return kept
}

// shared is how much two guesses both leave wrong.
func shared(a, b guess) (n int) {
	for i, w := range a.left {
		n += bits.OnesCount64(w & b.left[i])
	}
	return n
}

// apart reports whether two guesses change different places.
func (a guess) apart(b guess) bool {
	disjoint := func(x, y map[element]bool) bool {
		if len(x) > len(y) {
			x, y = y, x
		}
		for e := range x {
			if y[e] {
				return false
			}
		}
		return true
	}
	return disjoint(a.cure.unswitch, b.cure.unswitch) && disjoint(a.cure.unhang, b.cure.unhang) && disjoint(a.cure.unjoin, b.cure.unjoin)
}

// cured is the relay with some guesses mended.
func (g *guesser) cured(set []guess) *wiring.Relay {
	changes := make([]change, len(set))
	for i, x := range set {
		changes[i] = x.cure
	}
	return with(g.r, changes...)
}

// proven is the first of some sets of guesses that cures all. A proof that
// fails gives states that tell the others apart.
func (g *guesser) proven(open [][]guess) ([]guess, bool) {
	trials := []*trial{g.trial}
	const proofs = 12
	for range proofs {
		for len(open) > 0 && slices.ContainsFunc(trials, func(t *trial) bool { return wrongIn(t, g.cured(open[0])) }) {
			open = open[1:]
		}
		if len(open) == 0 {
			break
		}
		q := proof.Ask(g.in, g.cured(open[0]))
		if len(q.Differing()) == 0 {
			return open[0], true
		}
		trials, open = append(trials, newTrials(g.in, q.Witnesses(), 1)...), open[1:]
	}
	return nil, false
}

// wrongIn reports whether a relay goes wrong in a trial.
func wrongIn(t *trial, r *wiring.Relay) bool {
	return slices.ContainsFunc(t.after(r), func(w word) bool { return w != 0 })
}
