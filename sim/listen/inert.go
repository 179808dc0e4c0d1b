package listen

import (
	"slices"

	"trundle/sim/wiring"
)

// inert reports whether a mistake plainly changes nothing: a row has no part in
// which valves open, with the mistake or without, or every thing that a mistake
// moves still has the same ways to it, or from it. It may say false of one that
// changes nothing for other reasons.
func (m *machine) inert(x patch) bool {
	if len(x.stuck) > 0 {
		return false
	}
	nets := x.nets
	for _, move := range x.moved {
		for _, pin := range []wiring.Terminal{m.r.Switch[x.row].Pins[move.At], move.Pin} {
			if t := m.terminal(pin); t >= 0 {
				nets = append(nets, m.net[t])
			}
		}
	}
	if x.row >= 0 && x.moved == nil {
		was, rows := m.r.Switch[x.row], x.rows
		if !m.matters(was) && !slices.ContainsFunc(rows, m.matters) {
			return true
		}
		if was.Kind == wiring.Couple {
			return false
		}
		for _, s := range append(slices.Clip(rows), was) {
			for _, pin := range s.Pins {
				if t := m.terminal(pin); t >= 0 {
					nets = append(slices.Clip(nets), m.net[t])
				}
			}
		}
	}
	var items []int32
	for _, net := range nets {
		for _, t := range m.terms[net] {
			items = append(items, m.hung[t]...)
		}
	}
	for _, h := range x.hung {
		items = append(items, h.item)
	}
	items = sortedSet(items)
	ever := !slices.ContainsFunc(items, m.isContact)
	was := make([][]link, len(items))
	for i, item := range items {
		was[i] = m.links(item, ever)
	}
	defer m.put(x)()
	for i, item := range items {
		if is := m.links(item, ever); !covers(was[i], is) || !covers(is, was[i]) {
			return false
		}
	}
	return true
}

// link is a way to an output from a node, or from a contact to a node or label,
// while something is drawn.
type link struct {
	sort  byte
	other int32 // the node, -1 for none, or the label
	while []literal
}

// links are the ways to or from an item; with ever, only those from nodes that keys
// reach, while contacts stay as they are.
func (m *machine) links(item int32, ever bool) []link {
	var list []link
	for _, t := range m.at[item] {
		for _, u := range m.terms[m.net[t]] {
			for _, w := range m.fed[u] {
				if !m.rows[w.row].off && m.drives[u] && m.sounding[item] && (!ever || w.to < 0 || m.reached[w.to]) {
					list = append(list, link{'f', w.to, m.rows[w.row].literals})
				}
			}
			for _, w := range m.labels[u] {
				if !m.rows[w.row].off && m.asked[w.to] && m.isContact(item) {
					list = append(list, link{'l', w.to, nil})
				}
			}
			for _, w := range m.reads[u] {
				if !m.rows[w.row].off && m.useful[w.to] && m.isContact(item) {
					list = append(list, link{'r', w.to, nil})
				}
			}
		}
	}
	return list
}

// covers reports whether some links hold whenever one of some others does.
func covers(links, others []link) bool {
	return !slices.ContainsFunc(others, func(o link) bool {
		return !slices.ContainsFunc(links, func(l link) bool {
			return l.sort == o.sort && l.other == o.other &&
				!slices.ContainsFunc(l.while, func(x literal) bool { return !slices.Contains(o.while, x) })
		})
	})
}
