package listen

import (
	"slices"

	"trundle/sim/wiring"
)

// inert reports whether a mistake in wiring or pins plainly changes nothing: every
// thing that it moves still has the same ways to it, or from it. It may say false
// of one that changes nothing for other reasons.
func (m *machine) inert(x patch) bool {
	if x.row >= 0 && m.idle(m.r.Switch[x.row]) {
		return true
	}
	if x.asks != nil || x.order || x.row >= 0 && x.places == nil {
		return false
	}
	terminals := map[int32]bool{}
	for _, net := range x.nets {
		for _, t := range m.terms[net] {
			terminals[t] = true
		}
	}
	if x.row >= 0 {
		for _, s := range append(slices.Clone(x.rows), m.r.Switch[x.row]) {
			for _, pin := range s.Pins {
				if t := m.terminal(pin); t >= 0 {
					for _, u := range m.terms[m.net[t]] {
						terminals[u] = true
					}
				}
			}
		}
	}
	items := map[int32]bool{}
	for t := range terminals {
		for _, i := range m.hung[t] {
			items[i] = true
		}
	}
	for _, h := range slices.Concat(x.lost, x.hung) {
		items[h.item] = true
	}
	was := map[int32][]link{}
	fed := m.feeders(x.row)
	for i := range items {
		was[i] = m.links(i, fed)
	}
	defer m.put(x)()
	fed = m.feeders(x.row)
	for i := range items {
		if !slices.Equal(was[i], m.links(i, fed)) {
			return false
		}
	}
	return true
}

// idle reports whether a row drives only what has no part in which valves open.
func (m *machine) idle(s wiring.Switch) bool {
	return s.Kind == wiring.Drive && !slices.ContainsFunc(s.Pins, func(pin wiring.Terminal) bool {
		t := m.terminal(pin)
		return t >= 0 && slices.ContainsFunc(m.terms[m.net[t]], func(u int32) bool { return len(m.hung[u]) > 0 })
	})
}

// link is a way to an output from a node, or from a contact to a node or label.
type link struct {
	sort          byte
	row, from, to int32
}

// feeders are the ways to each terminal. Rows that stand in the place of one are
// numbered as that.
func (m *machine) feeders(row int32) map[int32][]link {
	fed := map[int32][]link{}
	for n, ways := range m.feeds {
		for _, w := range ways {
			if !m.rows[w.row].off && m.drives[w.to] {
				fed[w.to] = append(fed[w.to], link{'f', m.as(w.row, row), int32(n), 0})
			}
		}
	}
	for _, w := range m.alone {
		if !m.rows[w.row].off && m.drives[w.to] {
			fed[w.to] = append(fed[w.to], link{'a', m.as(w.row, row), 0, 0})
		}
	}
	return fed
}

func (m *machine) as(number, row int32) int32 {
	if int(number) >= len(m.r.Switch) {
		return row
	}
	return number
}

// links are the ways to or from an item, in an order of their own.
func (m *machine) links(item int32, fed map[int32][]link) []link {
	var list []link
	for _, t := range m.at[item] {
		for _, u := range m.terms[m.net[t]] {
			list = append(list, fed[u]...)
			for _, w := range m.labels[u] {
				if !m.rows[w.row].off {
					list = append(list, link{sort: 'l', to: w.to})
				}
			}
			for _, w := range m.reads[u] {
				if !m.rows[w.row].off {
					list = append(list, link{sort: 'r', to: w.to})
				}
			}
		}
	}
	slices.SortFunc(list, func(a, b link) int {
		return slices.Compare([]int32{int32(a.sort), a.row, a.from, a.to}, []int32{int32(b.sort), b.row, b.from, b.to})
	})
	return slices.Compact(list)
}
