package cause

import (
	"cmp"
	"slices"

	"trundle/sim/wiring"
)

// lane is things that hang side by side: the keys of a keyboard, the notes of
// a chest, the valves of a rank, or the controls or actions of a board.
type lane struct {
	kind      wiring.Kind
	index, of int
}

func (m *model) lane(item wiring.Item, net int) lane {
	switch item.Kind {
	case wiring.ControlKind, wiring.ActionKind, wiring.ActionOnKind, wiring.ActionOffKind:
		return lane{"board", m.hangPin(net).On, 0}
	}
	return lane{item.Kind, item.Index, item.Of}
}

func (a lane) less(b lane) bool {
	return cmp.Or(cmp.Compare(a.kind, b.kind), cmp.Compare(a.index, b.index), cmp.Compare(a.of, b.of)) < 0
}

// laneNets are the nets of a lane in the order of their pins: those on which
// something of it hangs, or that the relay uses for something of it.
func (m *model) laneNets(l lane, among []moved) []int {
	var nets []int
	for net := range m.rel.Nets.Len() {
		if slices.ContainsFunc(m.counted(m.rel.Nets, net), func(item wiring.Item) bool { return m.lane(item, net) == l }) {
			nets = append(nets, net)
		}
	}
	for _, e := range among {
		if e.net >= 0 && !slices.Contains(nets, e.net) {
			nets = append(nets, e.net)
		}
	}
	m.inOrder(nets)
	return nets
}

// rowNets are the nets of each row of the wiring, the joins and the switching
// that has all of some nets: what has been moved may be a part of a lane.
func (m *model) rowNets(entries []moved) [][]int {
	var all [][]int
	add := func(pins []wiring.Terminal) {
		var nets []int
		for _, t := range pins {
			if net := m.rel.Nets.Of(t); net >= 0 && !slices.Contains(nets, net) {
				nets = append(nets, net)
			}
		}
		for _, e := range entries {
			if !slices.Contains(nets, e.net) {
				return
			}
		}
		m.inOrder(nets)
		all = append(all, nets)
	}
	for _, row := range m.r.Soldered() {
		add(row.Pins)
	}
	for _, j := range m.r.Joins {
		add(j.From)
	}
	for _, s := range m.r.Switch {
		add(s.Pins)
	}
	return all
}

// inOrder sorts nets by the terminals on which things hang.
func (m *model) inOrder(nets []int) {
	slices.SortFunc(nets, func(a, b int) int { return compareTerminals(m.hangPin(a), m.hangPin(b)) })
}

// terminal is the pin of a board by which a net is known; false for none.
func (m *model) terminal(net int) (wiring.Terminal, bool) {
	if net < 0 {
		return wiring.Terminal{On: -1}, false
	}
	all := m.rel.Nets.Terminals(net)
	return all[0], true
}

// hangPin is the terminal of a net on which something hangs, or did in the
// plan; the last of the net where nothing does.
func (m *model) hangPin(net int) wiring.Terminal {
	if net < 0 {
		return wiring.Terminal{On: -1}
	}
	for _, h := range m.rel.Nets.Hung(net) {
		return m.r.Soldered()[h.Row].Pins[h.At]
	}
	for _, h := range m.plan.Hung(net) {
		return m.r.Plan[h.Row].Pins[h.At]
	}
	all := m.rel.Nets.Terminals(net)
	return all[len(all)-1]
}

func (m *model) boardOf(net int) int {
	t, _ := m.terminal(net)
	return t.On
}

func compareTerminals(a, b wiring.Terminal) int {
	return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.Pin, b.Pin))
}
