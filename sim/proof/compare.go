package proof

import (
	"math"
	"slices"

	"trundle/sim/logic"
)

// network is a simplified network with the levels and classes of its nodes.
type network struct {
	*logic.Network
	levels []int32
	class  []int32
}

func newNetwork(w *logic.Network) *network {
	simple := w.Simplify(nil)
	levels, _ := simple.Levels()
	return &network{simple, levels, simple.Classes(nil)}
}

// comparison compares pairs of nodes of a network, each pair of forms once.
type comparison struct {
	w       *network
	eval    *logic.Evaluator
	decider *logic.Decider
	inner   []bool              // nodes that lines of valves depend on
	known   map[[2]int32]answer // by class
	most    int                 // true variables of the smallest state found so far; larger ones need not be smallest
}

// answer is a verdict on a pair, with the smallest state in which it differs.
type answer struct {
	verdict logic.Verdict
	state   []logic.Node
}

func newComparison(w *network, controls int) *comparison {
	eval := logic.NewEvaluator(w.Network, w.levels)
	return &comparison{w: w, eval: eval, decider: logic.NewDecider(w.Network, w.class, eval, controls), known: map[[2]int32]answer{}, most: math.MaxInt}
}

// all compares want and got, valve by valve: which differ, which could not be
// decided, and the smallest state of all in which one differs.
func (c *comparison) all(want, got []logic.Node) (differing, undecided []int, smallest []logic.Node) {
	c.markInner(want, got)
	for v := range want {
		a := c.valve(want[v], got[v])
		switch a.verdict {
		case logic.Different:
			differing = append(differing, v)
			if smallest == nil || c.decider.Compare(a.state, smallest) < 0 {
				smallest, c.most = a.state, min(c.most, len(a.state))
			}
		case logic.Undecided:
			undecided = append(undecided, v)
		}
	}
	return differing, undecided, smallest
}

// markInner finds the nodes that the lines of the valves are made of, all the way
// down.
func (c *comparison) markInner(want, got []logic.Node) {
	c.inner = make([]bool, c.w.Len())
	seen := make([]bool, c.w.Len())
	var open []logic.Node
	each := func(n logic.Node, do func(logic.Node)) {
		for _, t := range c.w.Terms(n) {
			for _, set := range [][]logic.Node{t.All, t.None} {
				for _, m := range set {
					do(m)
				}
			}
		}
	}
	enter := func(m logic.Node) {
		if !seen[m] && !c.w.IsVar(m) {
			seen[m] = true
			open = append(open, m)
		}
	}
	for v := range want {
		each(want[v], enter)
		each(got[v], enter)
	}
	for len(open) > 0 {
		n := open[len(open)-1]
		open = open[:len(open)-1]
		each(n, func(m logic.Node) {
			c.inner[m] = true
			enter(m)
		})
	}
}

// valve compares two valves. Where both take the same lines under the same
// conditions, and the lines do not depend on these, it is enough to compare
// lines: a smallest difference of the valves is a smallest one of a line with
// its condition. A line serves many valves and is decided once.
func (c *comparison) valve(want, got logic.Node) answer {
	if c.w.class[want] == c.w.class[got] {
		return answer{verdict: logic.Equal}
	}
	pairs, ok := c.pair(want, got)
	if !ok {
		return c.decide(want, got, c.most)
	}
	best := answer{verdict: logic.Equal}
	for _, p := range pairs {
		a := c.decide(p.want, p.got, c.most-1) // the condition adds at least one
		if a.verdict == logic.Equal {
			continue
		}
		if a.verdict == logic.Different {
			a.state = union(a.state, p.condition)
			c.eval.Set(a.state)
			if c.eval.Value(want) == c.eval.Value(got) {
				return c.decide(want, got, c.most)
			}
		}
		if best.verdict != logic.Different || a.verdict == logic.Different && c.decider.Compare(a.state, best.state) < 0 {
			best = a
		}
	}
	return best
}

// decide compares two nodes by search, unless nodes of their forms have been.
func (c *comparison) decide(want, got logic.Node, most int) answer {
	key := [2]int32{c.w.class[want], c.w.class[got]}
	if key[0] > key[1] {
		key[0], key[1] = key[1], key[0]
	}
	a, known := c.known[key]
	if !known {
		a.state, a.verdict = c.decider.Differ(want, got, most)
		c.known[key] = a
	}
	return a
}

// pairing is a line on either side under one condition.
type pairing struct {
	want, got logic.Node
	condition []logic.Node // variables that must be true
}

// pair matches the terms of two valves that have the same condition; false
// when they do not all match, or a line depends on a condition.
func (c *comparison) pair(want, got logic.Node) ([]pairing, bool) {
	a, b := c.w.Terms(want), c.w.Terms(got)
	if len(a) != len(b) {
		return nil, false
	}
	var pairs []pairing
	taken := make([]bool, len(b))
	for _, t := range a {
		line, condition, ok := c.split(t)
		if !ok {
			return nil, false
		}
		match := -1
		for i, u := range b {
			other, same, ok := c.split(u)
			if ok && !taken[i] && slices.Equal(condition, same) && slices.Equal(t.None, u.None) {
				if match >= 0 {
					return nil, false // one condition for two lines: which belongs to which is not said
				}
				match = i
				pairs = append(pairs, pairing{line, other, condition})
			}
		}
		if match < 0 {
			return nil, false
		}
		taken[match] = true
	}
	return pairs, true
}

// split takes a term apart into its one line and the variables it needs.
func (c *comparison) split(t logic.Term) (line logic.Node, condition []logic.Node, ok bool) {
	lines := 0
	for _, n := range t.All {
		if c.w.IsVar(n) && !c.inner[n] {
			condition = append(condition, n)
		} else {
			line, lines = n, lines+1
		}
	}
	for _, n := range t.None {
		if !c.w.IsVar(n) || c.inner[n] {
			return 0, nil, false
		}
	}
	return line, condition, lines == 1 && len(condition) > 0
}

// union is two sorted sets of variables as one.
func union(a, b []logic.Node) []logic.Node {
	all := slices.Concat(a, b)
	slices.Sort(all)
	return slices.Compact(all)
}
