package cause

import (
	"slices"

	"trundle/sim/logic"
)

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
