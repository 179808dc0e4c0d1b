package cause

import (
	"trundle/console"
	"trundle/sim/logic"
	"trundle/sim/wiring"
)

// things numbers what hangs on pins and has to do with which valves open.
type things struct {
	number map[wiring.Item]int
	made   []word    // by thing: the states in which it is made, if it is a contact
	valves []sounder // by valve
	opens  [][]int   // by thing: the valves that depend on it
}

// sounder is what opens a valve: its magnet, or note lines with actions. The
// magnet is -1 where there is none.
type sounder struct {
	magnet int
	meets  []meeting
}

type meeting struct{ note, action, on, off int }

func (t *trial) thingsOf() *things {
	h := &things{number: map[wiring.Item]int{}}
	for n, on := range t.vars {
		item := t.v.Item(logic.Node(n))
		h.made[h.add(item)] |= on
		if item.Kind == wiring.Key2Kind { // a key pressed deep makes both its contacts
			item.Kind = wiring.KeyKind
			h.made[h.add(item)] |= on
		}
	}
	h.valves = make([]sounder, t.in.Valves)
	for i, rank := range t.in.Ranks {
		for _, s := range rank.Stands {
			for v := s.From; v <= s.To; v++ {
				h.valves[rank.Valve(v)] = h.sounder(t.in, i, s.Chest, v)
			}
		}
	}
	h.opens = make([][]int, len(h.made))
	for v, s := range h.valves {
		if s.magnet >= 0 {
			h.opens[s.magnet] = append(h.opens[s.magnet], v)
		}
		for _, m := range s.meets {
			for _, thing := range []int{m.note, m.action, m.on, m.off} {
				h.opens[thing] = append(h.opens[thing], v)
			}
		}
	}
	return h
}

// add is the number of a thing, a new one when it has none.
func (h *things) add(item wiring.Item) int {
	n, known := h.number[item]
	if !known {
		n = len(h.made)
		h.number[item] = n
		h.made = append(h.made, 0)
	}
	return n
}

// sounder is what opens valve v of a rank that stands on a chest there.
func (h *things) sounder(in *console.Instrument, rank, chest, v int) sounder {
	if !in.Chests[chest].HasNoteLines() {
		return sounder{magnet: h.add(wiring.Item{Kind: wiring.ValveKind, Index: rank, Of: console.None, Note: v})}
	}
	s := sounder{magnet: -1}
	for _, d := range in.Chests[chest].Plays {
		action := wiring.Item{Index: rank, Of: wiring.ActionOf(in, rank, d)}
		act := func(kind wiring.Kind) int {
			action.Kind = kind
			return h.add(action)
		}
		note := h.add(wiring.Item{Kind: wiring.NoteKind, Index: chest, Of: wiring.NoteOf(in.Chests[chest], d), Note: int(in.Ranks[rank].Note(v))})
		s.meets = append(s.meets, meeting{note, act(wiring.ActionKind), act(wiring.ActionOnKind), act(wiring.ActionOffKind)})
	}
	return s
}

// wired is a wiring: what hangs on which net. Things that no proof looks at
// have the number -1.
type wired struct {
	nets  *wiring.Netlist
	first []int // of each row of the wiring: the place of its first in hangs
	hangs []hang
	on    [][]int // by net: what hangs there, as places in hangs
	of    [][]int // by thing: where it hangs, as places in hangs
}

type hang struct{ thing, net int }

func (h *things) wire(r *wiring.Relay) *wired {
	w := &wired{nets: wiring.Nets(r), of: make([][]int, len(h.made))}
	w.on = make([][]int, w.nets.Len())
	for _, row := range r.Soldered() {
		w.first = append(w.first, len(w.hangs))
		for at := range min(len(row.Pins), len(row.Items)) {
			thing, known := h.number[row.Items[at]]
			if !known {
				thing = -1
			}
			net := w.nets.Of(row.Pins[at])
			if thing >= 0 && net >= 0 {
				w.on[net], w.of[thing] = append(w.on[net], len(w.hangs)), append(w.of[thing], len(w.hangs))
			}
			w.hangs = append(w.hangs, hang{thing, net})
		}
	}
	return w
}
