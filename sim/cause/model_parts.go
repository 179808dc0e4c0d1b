package cause

import (
	"cmp"
	"slices"

	"trundle/sim/logic"
)

// part is one node of a term: its class, and whether the term is of its
// absence.
type part struct {
	node  logic.Node
	class int32
	not   bool
}

func (p part) same(q part) bool { return p.class == q.class && p.not == q.not }

// parts are the terms of a node, each taken apart. A variable is one term.
func (m *model) parts(n logic.Node, class []int32) [][]part {
	n = m.w.Is(n)
	if m.idle(n) {
		return nil
	}
	if m.w.IsVar(n) {
		return [][]part{{{n, class[n], false}}}
	}
	var terms [][]part
	for _, t := range m.w.Terms(n) {
		if slices.ContainsFunc(t.All, m.idle) {
			continue
		}
		var term []part
		for _, a := range t.All {
			a = m.w.Is(a)
			term = append(term, part{a, class[a], false})
		}
		for _, a := range t.None {
			if a = m.w.Is(a); !m.idle(a) {
				term = append(term, part{a, class[a], true})
			}
		}
		terms = append(terms, term)
	}
	return terms
}

// idle reports whether a node is never true: nothing feeds it, and when all is
// matched nothing should.
func (m *model) idle(n logic.Node) bool {
	pin, is := m.isPin(m.w.Is(n))
	return is && m.settled && pin >= m.unread && m.canon[m.w.Is(n)] == m.class[m.w.Is(n)]
}

// pairing is a term of what should be and the term of what is that answers to
// it, as numbers of terms, -1 where there is none, with what each has that
// the other has not.
type pairing struct {
	want, got       int
	missing, excess []part
}

// compare pairs the terms of a node of the instrument and one of the relay,
// those that have most in common first.
func (m *model) compare(want, got [][]part) []pairing {
	type chance struct{ want, got, weight, apart int }
	var chances []chance
	for i, w := range want {
		for j, g := range got {
			common, weight := 0, 0
			for _, p := range w {
				if slices.ContainsFunc(g, p.same) {
					common++
					if weight++; m.isControl(p) {
						weight += len(w) // terms are told by their controls first
					}
				}
			}
			alone := len(want) == 1 && len(got) == 1
			if common > 0 || alone || len(w) == 1 && len(g) == 1 {
				chances = append(chances, chance{i, j, weight, len(w) + len(g) - 2*common})
			}
		}
	}
	slices.SortStableFunc(chances, func(a, b chance) int {
		return cmp.Or(cmp.Compare(min(a.apart, 1), min(b.apart, 1)), cmp.Compare(b.weight, a.weight), cmp.Compare(a.apart, b.apart))
	})
	var pairs []pairing
	wantTaken, gotTaken := make([]bool, len(want)), make([]bool, len(got))
	for _, c := range chances {
		if wantTaken[c.want] || gotTaken[c.got] {
			continue
		}
		wantTaken[c.want], gotTaken[c.got] = true, true
		pairs = append(pairs, pairing{c.want, c.got, without(want[c.want], got[c.got]), without(got[c.got], want[c.want])})
	}
	for i, taken := range wantTaken {
		if !taken {
			pairs = append(pairs, pairing{i, -1, want[i], nil})
		}
	}
	for j, taken := range gotTaken {
		if !taken {
			pairs = append(pairs, pairing{-1, j, nil, got[j]})
		}
	}
	return pairs
}

// without is the parts of a that b has not.
func without(a, b []part) []part {
	var rest []part
	for _, p := range a {
		if !slices.ContainsFunc(b, p.same) {
			rest = append(rest, p)
		}
	}
	return rest
}
