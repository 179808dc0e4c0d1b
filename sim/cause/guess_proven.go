package cause

import (
	"cmp"
	"fmt"
	"slices"

	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// one is the guess that a proof says cures all: the one that changes least, if
// there are several.
func (g *guesser) one() ([]guess, bool) {
	var open [][]guess
	for _, x := range g.guesses {
		if x.whole() {
			open = append(open, []guess{x})
		}
	}
	return g.proven(open)
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
// fails gives states that tell others apart; after a few that fail, others of
// the same kind at the same rows are left.
func (g *guesser) proven(open [][]guess) ([]guess, bool) {
	slices.SortStableFunc(open, func(a, b []guess) int {
		size, odds := 0, 0
		for i := range a {
			size, odds = size+a[i].size-b[i].size, odds+a[i].odds-b[i].odds
		}
		return cmp.Or(size, odds)
	})
	return g.firstProven(open)
}

// firstProven is the first of some sets of guesses that cures all.
func (g *guesser) firstProven(open [][]guess) ([]guess, bool) {
	trials := []*trial{g.trial}
	const proofs, alike = 32, 5
	failed := map[string]int{}
	for _, set := range open {
		kind := ""
		for _, x := range set {
			kind += fmt.Sprint(x.rule, x.row, " ")
		}
		r := g.cured(set)
		if failed[kind] == alike || slices.ContainsFunc(trials, func(t *trial) bool { return wrongIn(t, r) }) {
			continue
		}
		differing, states := proof.Ask(g.in, r).Short()
		if len(differing) == 0 {
			return set, true
		}
		failed[kind]++
		g.refuting = append(g.refuting, states)
		trials = append(trials, newTrials(g.in, 1, states)...)
		if len(trials) > proofs {
			break
		}
	}
	return nil, false
}

// wrongIn reports whether a relay goes wrong in a trial.
func wrongIn(t *trial, r *wiring.Relay) bool {
	return slices.ContainsFunc(t.after(r), func(w word) bool { return w != 0 })
}
