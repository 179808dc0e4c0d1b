package cause

import (
	"slices"
	"strings"

	"trundle/console"
	"trundle/sim/equation"
	"trundle/sim/logic"
	"trundle/sim/wiring"
)

// raw is the node of a label, or of a note of a line, as it was first built.
func (m *model) raw(n note) logic.Node {
	if label, is := strings.CutPrefix(n.line, "="); is {
		return m.rel.Labels[label]
	}
	return m.rel.Lines[n.line][n.note]
}

// trace finds the rows by which a term came to a node as it was first built:
// row by row backwards, until what has been gathered is the term.
func (m *model) trace(raw logic.Node, term []part) []equation.Origin {
	if raw == equation.Nothing {
		return nil
	}
	goal := map[part]bool{}
	for _, p := range term {
		goal[part{p.node, 0, p.not}] = true
	}
	var found []equation.Origin
	var walk func(n logic.Node, have map[part]bool, path []equation.Origin) bool
	walk = func(n logic.Node, have map[part]bool, path []equation.Origin) bool {
		const deep = 6 // rows; longer chains are not traced
		if len(path) == deep {
			return false
		}
		for _, o := range m.rel.Origins(n) {
			row := m.rel.Switch[o.Row]
			next, with, ok := m.step(row, o.At, have, goal)
			if !ok {
				continue
			}
			way := append(slices.Clone(path), o)
			if next == equation.Nothing || with[part{m.w.Is(next), 0, false}] {
				if len(with) == len(goal) {
					found = way
					return true
				}
				continue
			}
			if walk(next, with, way) {
				return true
			}
		}
		return false
	}
	walk(raw, map[part]bool{}, nil)
	return found
}

// step is what one row adds to a term, and the node that it reads; false when
// it adds what the term has not.
func (m *model) step(row wiring.Switch, at int, have, goal map[part]bool) (next logic.Node, with map[part]bool, ok bool) {
	with = map[part]bool{}
	for p := range have {
		with[p] = true
	}
	next = equation.Nothing
	if row.Line != "" && row.Kind != wiring.Read {
		next = m.rel.Lines[row.Line][row.Notes[at]]
		if p := (part{m.w.Is(next), 0, false}); goal[p] {
			with[p] = true
		}
	}
	if row.Kind == wiring.Read {
		return next, with, true
	}
	if row.Picks != console.PicksAll {
		for _, n := range row.Notes {
			if p := (part{m.w.Is(m.rel.Lines[row.Line][n]), 0, true}); goal[p] {
				with[p] = true
			}
		}
	}
	for _, l := range row.Control {
		label, read := m.rel.Labels[l.Label]
		if !read {
			continue
		}
		p := part{m.w.Is(label), 0, l.Not}
		if !goal[p] {
			return next, nil, false
		}
		with[p] = true
	}
	return next, with, true
}
