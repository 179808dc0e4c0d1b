package certificate

import "slices"

// groups are the nodes that depend on each other, in an order in which a group
// stands behind all that it depends on (Tarjan 1972, by recursion: as deep as
// there are nodes).
func (e *equations) groups() [][]int {
	s := &search{e: e, index: make([]int, len(e.base)), low: make([]int, len(e.base))}
	for node := range e.base {
		if s.index[node] == 0 {
			s.visit(node)
		}
	}
	return s.groups
}

type search struct {
	e          *equations
	index, low []int // index counts from 1; 0 is not visited, closed is in a group
	count      int
	open       []int
	groups     [][]int
}

const closed = -1

func (s *search) visit(node int) {
	s.count++
	s.index[node], s.low[node] = s.count, s.count
	s.open = append(s.open, node)
	for _, n := range s.e.needs[node] {
		if s.index[n] == 0 {
			s.visit(n)
			s.low[node] = min(s.low[node], s.low[n])
		} else if s.index[n] != closed {
			s.low[node] = min(s.low[node], s.index[n])
		}
	}
	if s.low[node] != s.index[node] {
		return
	}
	at := slices.Index(s.open, node)
	group := slices.Clone(s.open[at:])
	s.open = s.open[:at]
	for _, n := range group {
		s.index[n] = closed
	}
	slices.Sort(group)
	s.groups = append(s.groups, group)
}
