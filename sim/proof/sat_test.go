package proof

import (
	"slices"
	"testing"

	"github.com/crillab/gophersat/solver"
	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/equation"
	"trundle/sim/logic"
	"trundle/sim/wiring"
)

// formula is a network as clauses (Tseitin 1968): a literal for every node,
// and for a node in a cycle one for every round of a least solution, as many
// rounds as its cycle has nodes. It is made from the network as it was first
// built; nothing of simplifying, classes or searching is used.
type formula struct {
	w       *logic.Network
	cycle   []int          // number of the cycle a node stands in, 0 for none
	size    []int          // of each cycle
	literal map[[2]int]int // by node and round
	count   int
	clauses [][]int
}

// differ asks a fresh solver for a state in which two nodes differ.
func differ(w *logic.Network, cycle, size []int, a, b logic.Node) bool {
	f := &formula{w: w, cycle: cycle, size: size, literal: map[[2]int]int{}}
	x, y := f.whole(a), f.whole(b)
	clauses := append([][]int{{x, y}, {-x, -y}}, f.clauses...)
	return solver.New(solver.ParseSlice(clauses)).Solve() == solver.Sat
}

// of is the literal of a node, after a number of rounds of its own cycle.
func (f *formula) of(n logic.Node, round int) int {
	key := [2]int{int(n), round}
	if l, known := f.literal[key]; known {
		return l
	}
	f.count++
	l := f.count
	f.literal[key] = l
	if f.w.IsVar(n) {
		return l
	}
	holds := []int{-l}
	for _, t := range f.w.Terms(n) {
		body := []int{}
		for _, m := range t.All {
			body = append(body, f.source(n, m, round))
		}
		for _, m := range t.None {
			body = append(body, -f.source(n, m, round))
		}
		if slices.Contains(body, 0) {
			continue // a round before the first: nothing holds yet
		}
		f.count++
		term := f.count
		all := []int{term}
		for _, b := range body {
			f.clauses = append(f.clauses, []int{-term, b})
			all = append(all, -b)
		}
		f.clauses = append(f.clauses, all, []int{-term, l})
		holds = append(holds, term)
	}
	f.clauses = append(f.clauses, holds)
	return l
}

// source is the literal of m as n reads it: one round earlier in a cycle of
// both, 0 for never.
func (f *formula) source(n, m logic.Node, round int) int {
	switch {
	case f.cycle[m] == 0:
		return f.of(m, 0)
	case f.cycle[m] != f.cycle[n]:
		return f.of(m, f.size[f.cycle[m]])
	case round == 1:
		return 0
	}
	return f.of(m, round-1)
}

// whole is the literal of a node after all rounds.
func (f *formula) whole(n logic.Node) int { return f.of(n, f.size[f.cycle[n]]) }

// cycles numbers the cycles of a network from 1 and counts their nodes.
func cycles(w *logic.Network) (cycle, size []int) {
	reach := func(from logic.Node) map[logic.Node]bool {
		seen, open := map[logic.Node]bool{}, []logic.Node{from}
		for len(open) > 0 {
			n := open[len(open)-1]
			open = open[:len(open)-1]
			for _, t := range w.Terms(n) {
				for _, m := range append(append([]logic.Node{}, t.All...), t.None...) {
					if !seen[m] {
						seen[m] = true
						open = append(open, m)
					}
				}
			}
		}
		return seen
	}
	cycle, size = make([]int, w.Len()), []int{0}
	below := map[logic.Node]map[logic.Node]bool{}
	for n := logic.Node(w.Vars); int(n) < w.Len(); n++ {
		if seen := reach(n); seen[n] {
			below[n] = seen
		}
	}
	for n := range logic.Node(w.Len()) {
		if below[n] == nil || cycle[n] > 0 {
			continue
		}
		size = append(size, 0)
		for m := range below[n] {
			if below[m][n] {
				cycle[m] = len(size) - 1
				size[cycle[m]]++
			}
		}
	}
	return cycle, size
}

// againstSolver proves a relay and asks a SAT solver about every output, one
// fresh solver each; both must say the same of each.
func againstSolver(t *testing.T, in *console.Instrument, r *wiring.Relay) Result {
	result := Prove(in, r)
	require.NotEqual(t, NotDecided, result.Verdict, result.Reason)
	v := equation.NewVariables(in)
	w := logic.New(v.Count)
	want := equation.AddInstrument(w, v).Valves
	got := equation.AddRelay(w, r, v.Contacts(w, r)).Valves(in)
	cycle, size := cycles(w)
	differing := []int{}
	for valve := range want {
		if differ(w, cycle, size, want[valve], got[valve]) {
			differing = append(differing, valve)
		}
	}
	require.Equal(t, differing, append([]int{}, result.Differing...))
	return result
}
