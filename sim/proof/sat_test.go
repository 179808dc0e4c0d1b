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

// cycles numbers the cycles of a network from 1 and counts their nodes
// (Tarjan 1972, as it is in the textbooks).
func cycles(w *logic.Network) (cycle, size []int) {
	cycle, size = make([]int, w.Len()), []int{0}
	index, low := make([]int, w.Len()), make([]int, w.Len())
	onStack := make([]bool, w.Len())
	var stack []logic.Node
	count := 0
	var visit func(n logic.Node)
	visit = func(n logic.Node) {
		count++
		index[n], low[n] = count, count
		stack, onStack[n] = append(stack, n), true
		self := false
		for _, t := range w.Terms(n) {
			for _, m := range slices.Concat(t.All, t.None) {
				self = self || m == n
				if index[m] == 0 {
					visit(m)
					low[n] = min(low[n], low[m])
				} else if onStack[m] {
					low[n] = min(low[n], index[m])
				}
			}
		}
		if low[n] != index[n] {
			return
		}
		at := slices.Index(stack, n)
		members := stack[at:]
		stack = stack[:at]
		for _, m := range members {
			onStack[m] = false
			if len(members) > 1 || self {
				cycle[m] = len(size)
			}
		}
		if len(members) > 1 || self {
			size = append(size, len(members))
		}
	}
	for n := range logic.Node(w.Len()) {
		if index[n] == 0 {
			visit(n)
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
