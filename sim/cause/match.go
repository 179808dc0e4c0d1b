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

// votes count, for nodes of the relay, what the places that use them say they
// should be, by class.
type votes map[logic.Node]map[int32]int

func (v votes) add(n logic.Node, class int32) {
	if v[n] == nil {
		v[n] = map[int32]int{}
	}
	v[n][class]++
}

// most is the class with most votes, the lowest of equals, and its votes.
func most(of map[int32]int) (best int32, count int) {
	for class, n := range of {
		if n > count || n == count && class < best {
			best, count = class, n
		}
	}
	return best, count
}

// match finds what the relay's lines and pins should be, wave by wave from
// the outputs down, and writes it into canon. With trust, a note of a line
// that is like some node of the instrument is taken for that node; without,
// the places that use a line say what it should be, the whole line together.
func (m *model) match(trust bool) {
	copy(m.canon, m.class)
	m.matched, m.settled = nil, false
	pins, wave := votes{}, votes{}
	for _, s := range m.sites {
		got := m.w.Is(s.got)
		if m.say(got, m.class[m.w.Is(s.want)], pins, wave) {
			continue
		}
		m.vote(s.want, got, pins, wave)
	}
	done := map[logic.Node]bool{}
	for len(wave) > 0 {
		m.settle(wave, trust)
		next := votes{}
		for _, n := range sorted(wave) {
			want, known := m.repr[m.canon[n]]
			if done[n] || !known {
				continue
			}
			done[n] = true
			m.matched = append(m.matched, n)
			m.vote(want, n, pins, next)
		}
		wave = next
	}
	for n, of := range pins {
		best, count := most(of)
		pin, _ := m.isPin(n)
		contact := int(best) < m.v.Count
		if now := of[m.class[n]]; best != m.class[n] && count > 3*now && (contact || pin >= m.unread) {
			m.canon[n] = best
		}
	}
	m.settled = true
}

// say votes for what a pin or a note of a line should be; false for any other
// node. Nothing should be what is never true.
func (m *model) say(n logic.Node, class int32, pins, lines votes) bool {
	if class == m.class[m.never] {
		return m.lines[n] != nil
	}
	if _, pin := m.isPin(n); pin {
		pins.add(n, class)
	} else if m.lines[n] != nil {
		lines.add(n, class)
	} else {
		return false
	}
	return true
}

// vote compares a node of the instrument with one of the relay, and votes for
// what the nodes it is made of should be.
func (m *model) vote(want, got logic.Node, pins, lines votes) {
	wants, gots := m.parts(want, m.class), m.parts(got, m.canon)
	for _, p := range m.compare(wants, gots) {
		if p.want < 0 || p.got < 0 {
			continue
		}
		for _, part := range gots[p.got] {
			// Which of several lines must be silent, a row that picks says of all alike.
			if slices.ContainsFunc(wants[p.want], part.same) && (!part.not || m.isControl(part)) {
				m.say(part.node, part.class, pins, lines)
			}
		}
		if len(p.missing) == 1 && len(p.excess) == 1 && p.missing[0].not == p.excess[0].not {
			m.say(p.excess[0].node, p.missing[0].class, pins, lines)
		}
	}
}

// settle writes what a wave says of the notes of lines into canon.
func (m *model) settle(wave votes, trust bool) {
	type kin struct {
		family, offset int
	}
	lines := map[string]map[kin]int{}
	for n, of := range wave {
		for class, count := range of {
			is, known := m.names[class]
			if !known {
				continue
			}
			for _, at := range m.lines[n] {
				if lines[at.line] == nil {
					lines[at.line] = map[kin]int{}
				}
				lines[at.line][kin{is.family, is.note - at.note}] += count
			}
		}
	}
	byName := map[name]int32{}
	for class, is := range m.names {
		byName[is] = class
	}
	for n, of := range wave {
		if _, like := m.names[m.class[n]]; trust && like {
			continue
		}
		best, count := most(of)
		if best == m.class[n] {
			m.canon[n] = best
			continue
		}
		top, at := kin{}, note{}
		support := 0
		for _, l := range m.lines[n] {
			for k, c := range lines[l.line] {
				if c > support || c == support && (k.family < top.family || k.family == top.family && k.offset < top.offset) {
					top, at, support = k, l, c
				}
			}
		}
		if class, known := byName[name{top.family, at.note + top.offset}]; known && support > count {
			best = class
		}
		if count > 0 {
			m.canon[n] = best
		}
	}
}

func sorted(of votes) []logic.Node {
	var list []logic.Node
	for n := range of {
		list = append(list, n)
	}
	slices.Sort(list)
	return list
}
