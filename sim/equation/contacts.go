package equation

import (
	"trundle/console"
	"trundle/sim/logic"
	"trundle/sim/wiring"
)

// Contact is the variables each of which makes a contact that a wiring names;
// none for what no proof looks at: buttons, stages, shoes.
func (v Variables) Contact(item wiring.Item) []logic.Node {
	switch item.Kind {
	case wiring.ControlKind:
		return []logic.Node{v.Control(item.Index)}
	case wiring.KeyKind, wiring.Key2Kind:
		held, deep, second, exists := v.key(item.Index, console.Note(item.Note))
		switch {
		case !exists:
		case item.Kind == wiring.Key2Kind && second:
			return []logic.Node{deep}
		case item.Kind == wiring.KeyKind && second:
			return []logic.Node{held, deep}
		case item.Kind == wiring.KeyKind:
			return []logic.Node{held}
		}
	}
	return nil
}

// Contacts gives the nodes of input pins: a pin is on while any contact wired
// to its net is made.
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
