package cause

import (
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// departures finds where the wiring as soldered departs from the plan, in what
// the proof looks at: the pins are used as planned.
func (m *model) departures() []moved {
	var all []moved
	for net := range m.rel.Nets.Len() {
		_, input := m.rel.Nets.Pin(net, wiring.Input)
		means, have := m.counted(m.plan, net), m.counted(m.rel.Nets, net)
		var shared []wiring.Item
		for _, item := range means {
			if slices.Contains(have, item) {
				shared = append(shared, item)
			}
		}
		apart := func(items []wiring.Item) []wiring.Item {
			return slices.DeleteFunc(items, func(item wiring.Item) bool { return slices.Contains(shared, item) })
		}
		means, have = apart(means), apart(have)
		for i := range max(len(means), len(have)) {
			e := moved{net: net, input: input}
			if i < len(means) {
				e.means = means[i]
			} else if len(shared) > 0 {
				e.means, e.extra = shared[0], true
			}
			if i < len(have) {
				e.have = have[i]
			}
			all = append(all, e)
		}
	}
	return all
}

// counted are the different things on a net that the proof looks at.
func (m *model) counted(nets *wiring.Netlist, net int) []wiring.Item {
	var list []wiring.Item
	for _, h := range nets.Hung(net) {
		item := nets.Item(h)
		switch item.Kind {
		case wiring.NoteKind, wiring.ActionKind, wiring.ActionOnKind, wiring.ActionOffKind, wiring.ValveKind:
		default:
			if len(m.v.Contact(item)) == 0 || m.ofWind(item) {
				continue
			}
		}
		if !slices.Contains(list, item) {
			list = append(list, item)
		}
	}
	return list
}

// ofWind reports whether an item is the contact of a ventil or tremulant, on
// which no valve depends.
func (m *model) ofWind(item wiring.Item) bool {
	if item.Kind != wiring.ControlKind {
		return false
	}
	kind := m.in.Controls[item.Index].Kind
	return kind == console.VentilControl || kind == console.TremulantControl
}
