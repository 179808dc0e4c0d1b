package equation

import (
	"trundle/console"
	"trundle/sim/logic"
	"trundle/sim/wiring"
)

// Valves opens the valves that a relay drives: on a unit chest when a pin of
// the valve is driven, otherwise when a pin of its note line and a pin of its
// action are. By valve of the instrument.
func (a *Relay) Valves(in *console.Instrument) []logic.Node {
	hung := map[wiring.Item]logic.Node{}
	for net, driven := range a.Driven {
		if driven == Nothing {
			continue
		}
		for _, h := range a.Nets.Hung(net) {
			item := a.Nets.Item(h)
			if _, known := hung[item]; !known {
				hung[item] = a.w.Add()
			}
			a.w.Or(hung[item], []logic.Node{driven}, nil)
		}
	}
	valves := make([]logic.Node, in.Valves)
	for i, rank := range in.Ranks {
		for _, s := range rank.Stands {
			chest := in.Chests[s.Chest]
			for v := s.From; v <= s.To; v++ {
				node := a.w.Add()
				valves[rank.Valve(v)] = node
				if !chest.HasNoteLines() {
					if driven, known := hung[wiring.Item{Kind: wiring.ValveKind, Index: i, Of: console.None, Note: v}]; known {
						a.w.Or(node, []logic.Node{driven}, nil)
					}
					continue
				}
				for _, d := range chest.Plays {
					if line, known := hung[wiring.Item{Kind: wiring.NoteKind, Index: s.Chest, Of: wiring.NoteOf(chest, d), Note: int(rank.Note(v))}]; known {
						a.meets(node, hung, line, i, wiring.ActionOf(in, i, d))
					}
				}
			}
		}
	}
	return valves
}

// meets opens a valve where a note line meets an action of its rank. An action
// of two coils stands open while its on coil is driven and its off coil is not.
func (a *Relay) meets(valve logic.Node, hung map[wiring.Item]logic.Node, line logic.Node, rank, of int) {
	if action, known := hung[wiring.Item{Kind: wiring.ActionKind, Index: rank, Of: of}]; known {
		a.w.Or(valve, []logic.Node{line, action}, nil)
	}
	if on, known := hung[wiring.Item{Kind: wiring.ActionOnKind, Index: rank, Of: of}]; known {
		var none []logic.Node
		if off, known := hung[wiring.Item{Kind: wiring.ActionOffKind, Index: rank, Of: of}]; known {
			none = append(none, off)
		}
		a.w.Or(valve, []logic.Node{line, on}, none)
	}
}
