package equation

import (
	"slices"

	"trundle/sim/logic"
	"trundle/sim/wiring"
)

// Contacts gives the nodes of input pins: a pin is on while any contact wired
// to its net is made, or it is stuck.
func (v Variables) Contacts(w *logic.Network, r *wiring.Relay) func(wiring.Terminal) logic.Node {
	nets := wiring.Nets(r)
	made := map[int]logic.Node{}
	return func(t wiring.Terminal) logic.Node {
		net := nets.Of(t)
		node, known := made[net]
		if !known {
			node = w.Add()
			made[net] = node
			if net >= 0 {
				if slices.ContainsFunc(r.Stuck, func(t wiring.Terminal) bool { return nets.Of(t) == net }) {
					w.Or(node, nil, nil)
				}
				for _, h := range nets.Hung(net) {
					for _, variable := range v.Contact(nets.Item(h)) {
						w.Or(node, []logic.Node{variable}, nil)
					}
				}
			}
		}
		return node
	}
}
