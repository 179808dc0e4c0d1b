package cause

import (
	"cmp"
	"math/bits"
	"slices"
)

// pair is two guesses that together cure all, as a proof says. What both leave
// wrong may still be right when both are mended, so it only counts against them.
func (g *guesser) pair() ([]guess, bool) {
	wrong := 0
	for _, v := range g.wrong {
		wrong += bits.OnesCount64(g.now.wrong[v])
	}
	if wrong == 0 {
		return nil, false
	}
	groups := g.telling()
	type couple struct{ a, b, shared, size int }
	var open []couple
	for j, b := range groups {
		for i, a := range groups[:j] {
			if n := shared(a[0], b[0]); n*3 <= wrong {
				open = append(open, couple{i, j, n, a[0].size + b[0].size})
			}
		}
	}
	const part = 16 // what both leave wrong does not count as long as it is so small a part
	slices.SortStableFunc(open, func(a, b couple) int {
		return cmp.Or(a.shared*part/wrong-b.shared*part/wrong, a.size-b.size, a.shared-b.shared)
	})
	tried, kept := 300, 12
	if g.in.Valves > large {
		tried = 60
	}
	var whole []couple
	for _, o := range open[:min(len(open), tried)] {
		if g.does(groups[o.a], groups[o.b]) {
			whole = append(whole, o)
		}
	}
	slices.SortStableFunc(whole, func(a, b couple) int { return a.size - b.size })
	for _, o := range whole[:min(len(whole), kept)] {
		var sets [][]guess
		for _, a := range groups[o.a] {
			for _, b := range groups[o.b] {
				sets = append(sets, []guess{a, b})
			}
		}
		if two, ok := g.proven(sets); ok {
			return two, true
		}
	}
	return nil, false
}

// does reports whether one of the first of two groups of guesses, with one of
// the first of the other, leaves nothing wrong in the trial.
func (g *guesser) does(some, others []guess) bool {
	const first = 3
	for _, a := range some[:min(first, len(some))] {
		for _, b := range others[:min(first, len(others))] {
			if a.apart(b) && !wrongIn(g.trial, g.cured([]guess{a, b})) {
				return true
			}
		}
	}
	return false
}

// cover is a few guesses that together cure all, as a proof says: each mends
// most of what those before it leave.
func (g *guesser) cover() ([]guess, bool) {
	const few, sets = 4, 300
	groups := g.telling()
	left := make([]word, len(g.wrong))
	for i, v := range g.wrong {
		left[i] = g.now.wrong[v]
	}
	open := [][]guess{nil}
	for range few {
		best, most := -1, 0
		for i, group := range groups {
			gone := -group[0].more
			for k, w := range left {
				gone += bits.OnesCount64(w &^ group[0].left[k])
			}
			if gone > most {
				best, most = i, gone
			}
		}
		if best < 0 {
			break
		}
		for k := range left {
			left[k] &= groups[best][0].left[k]
		}
		var longer [][]guess
		for _, x := range groups[best] {
			for _, set := range open {
				if longer = append(longer, append(slices.Clone(set), x)); len(longer) == sets {
					break
				}
			}
		}
		open = longer
	}
	if slices.ContainsFunc(left, func(w word) bool { return w != 0 }) {
		return nil, false
	}
	return g.proven(open)
}

// telling are the guesses that mend most, those together that mend the same.
func (g *guesser) telling() [][]guess {
	const many = 240
	list := slices.Clone(g.guesses)
	slices.SortStableFunc(list, likelier)
	slices.SortStableFunc(list, func(a, b guess) int { return b.gone - b.more - a.gone + a.more })
	var groups [][]guess
	for _, x := range list {
		i := slices.IndexFunc(groups, func(group []guess) bool {
			return group[0].gone == x.gone && group[0].more == x.more && slices.Equal(group[0].left, x.left)
		})
		if i >= 0 {
			groups[i] = append(groups[i], x)
		} else if len(groups) < many {
			groups = append(groups, []guess{x})
		}
	}
	return groups
}

// likelier orders guesses: those that change least first, and of these those
// that are one of few of their kind.
func likelier(a, b guess) int { return cmp.Or(a.size-b.size, a.odds-b.odds) }

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
