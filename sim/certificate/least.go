package certificate

import "slices"

// equations say what makes nodes true: something outside, or other nodes. They
// are solved by the least solution, so that nodes in a cycle do not hold each
// other on.
type equations struct {
	base  []lit    // by node: what makes it true whatever the others are
	terms [][]term // by node
	needs [][]int  // by node: the nodes that it depends on
}

// term makes its node true while from is, as long as when holds and no node
// of unless is true.
type term struct {
	when   lit
	from   int
	unless []int
}

func newEquations(nodes int) *equations {
	return &equations{slices.Repeat([]lit{no}, nodes), make([][]term, nodes), make([][]int, nodes)}
}

func (e *equations) add(node int, t term, needs ...int) {
	e.terms[node] = append(e.terms[node], t)
	e.needs[node] = append(append(e.needs[node], t.from), needs...)
}

// solve gives every node its literal; groups are those of e.groups, and no
// node is kept from being true by one of its own group.
func (e *equations) solve(c *circuit, groups [][]int) []lit {
	solved := slices.Repeat([]lit{no}, len(e.base))
	for _, group := range groups {
		g := e.ring(c, group, solved)
		for len(g.left) > 0 {
			g.takeOut()
		}
		for _, node := range slices.Backward(g.taken) { // what leads to a node is solved before it
			ways := []lit{g.base[node]}
			for _, from := range keys(g.in[node]) {
				ways = append(ways, c.and(g.in[node][from], solved[from]))
			}
			solved[node] = c.or(ways...)
		}
	}
	return solved
}

// ring is a group of nodes that may lead to each other in a circle. Its least
// solution is what reaches each node along some way in the group, so nodes are
// taken out one by one: whatever led to the one taken out now leads to where
// it led, and no way comes by a node twice.
type ring struct {
	c       *circuit
	base    map[int]lit
	in, out map[int]map[int]lit // when one node makes another true: in by the second, out by the first
	left    []int               // nodes that are not taken out
	taken   []int               // in their order
}

// ring is a group with all that is solved behind it worked in.
func (e *equations) ring(c *circuit, group []int, solved []lit) *ring {
	g := &ring{c: c, base: map[int]lit{}, in: map[int]map[int]lit{}, out: map[int]map[int]lit{}, left: slices.Clone(group)}
	for _, node := range group {
		g.base[node], g.in[node], g.out[node] = e.base[node], map[int]lit{}, map[int]lit{}
	}
	for _, node := range group {
		ways := []lit{e.base[node]}
		for _, t := range e.terms[node] {
			when := []lit{t.when}
			for _, u := range t.unless {
				when = append(when, -solved[u])
			}
			if _, here := g.base[t.from]; here {
				g.lead(t.from, node, c.and(when...))
			} else {
				ways = append(ways, c.and(append(when, solved[t.from])...))
			}
		}
		g.base[node] = c.or(ways...)
	}
	return g
}

// lead lets one node make another true while when holds, too.
func (g *ring) lead(from, to int, when lit) {
	if from == to || when == no {
		return
	}
	if before, known := g.in[to][from]; known {
		when = g.c.or(before, when)
	}
	g.in[to][from], g.out[from][to] = when, when
}

// takeOut takes out the node with the fewest ways through it.
func (g *ring) takeOut() {
	at := 0
	ways := func(node int) int { return len(g.in[node]) * len(g.out[node]) }
	for i, node := range g.left {
		if ways(node) < ways(g.left[at]) {
			at = i
		}
	}
	node := g.left[at]
	g.left = slices.Delete(g.left, at, at+1)
	g.taken = append(g.taken, node)
	for _, to := range keys(g.out[node]) {
		when := g.out[node][to]
		delete(g.in[to], node)
		g.base[to] = g.c.or(g.base[to], g.c.and(g.base[node], when))
		for _, from := range keys(g.in[node]) {
			g.lead(from, to, g.c.and(g.in[node][from], when))
		}
	}
	for from := range g.in[node] {
		delete(g.out[from], node)
	}
}

func keys(m map[int]lit) []int {
	list := make([]int, 0, len(m))
	for k := range m {
		list = append(list, k)
	}
	slices.Sort(list)
	return list
}
