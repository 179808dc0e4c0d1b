package probe

import (
	"trundle/console"
	"trundle/sim/wiring"
)

// Set is a set of numbers from 0: of valves, or of chords.
type Set []uint64

func newSet(size int) Set { return make(Set, (size+63)/64) }

// Has reports whether a number is in the set.
func (s Set) Has(i int) bool { return s[i/64]>>(i%64)&1 == 1 }

func (s Set) add(i int) { s[i/64] |= 1 << (i % 64) }

// Run is the valves that a relay opens while keys are held and controls are on.
func (x *Running) Run(held []console.Held, on []int) Set {
	driven, open := x.drive(held, on), newSet(len(x.valves))
	for v, o := range x.valves {
		if o.opens(driven) {
			open.add(v)
		}
	}
	return open
}

// Driven is what a relay drives meanwhile of what opens valves.
func (x *Running) Driven(held []console.Held, on []int) map[wiring.Item]bool {
	driven, items := x.drive(held, on), map[wiring.Item]bool{}
	for item, o := range x.outputs {
		if driven[o] {
			items[item] = true
		}
	}
	return items
}

// drive is which outputs a relay drives.
func (x *Running) drive(held []console.Held, on []int) []bool {
	labels := make([]bool, x.labelCount)
	is := make([]bool, len(x.leads))
	var queue []int32
	turn := func(n int32) {
		if !is[n] {
			is[n] = true
			queue = append(queue, n)
		}
	}
	contact := func(item wiring.Item) {
		for _, net := range x.made[item] {
			for _, l := range x.labels[net] {
				labels[l] = true
			}
			for _, n := range x.reads[net] {
				turn(n)
			}
		}
	}
	for _, c := range on {
		contact(wiring.Item{Kind: wiring.ControlKind, Index: c, Of: console.None})
	}
	for _, h := range held {
		key := wiring.Item{Kind: wiring.KeyKind, Index: h.Keyboard, Of: console.None, Note: int(h.Note)}
		if contact(key); h.Deep {
			key.Kind = wiring.Key2Kind
			contact(key)
		}
	}
	holds := make([]bool, len(x.rows))
	for i, r := range x.rows {
		holds[i] = r.holds(labels)
	}
	follow := func() {
		for len(queue) > 0 {
			n := queue[len(queue)-1]
			queue = queue[:len(queue)-1]
			for _, w := range x.leads[n] {
				if holds[w.row] {
					turn(w.to)
				}
			}
		}
	}
	follow()
	for _, p := range x.picks {
		if i := p.chooses(is); i >= 0 && holds[p.row] {
			turn(p.to[i])
			follow()
		}
	}
	driven := make([]bool, len(x.outputs))
	drive := func(net int32) {
		for _, o := range x.hung[net] {
			driven[o] = true
		}
	}
	for n, on := range is {
		if on {
			for _, w := range x.drives[n] {
				if holds[w.row] {
					drive(w.to)
				}
			}
		}
	}
	for _, w := range x.alone {
		if holds[w.row] {
			drive(w.to)
		}
	}
	return driven
}

func (r row) holds(labels []bool) bool {
	for _, l := range r {
		if (l.label >= 0 && labels[l.label]) == l.not {
			return false
		}
	}
	return true
}

// chooses is the place of the note that a row picks, -1 when none is on.
func (p pick) chooses(is []bool) int {
	place := -1
	for i, n := range p.from {
		if is[n] && (place < 0 || p.notes[i] < p.notes[place] != p.highest) {
			place = i
		}
	}
	return place
}

func (o opening) opens(driven []bool) bool {
	is := func(output int32) bool { return output >= 0 && driven[output] }
	if o.own >= 0 {
		return driven[o.own]
	}
	for _, p := range o.pairs {
		if is(p.line) && (is(p.action) || is(p.on) && !is(p.off)) {
			return true
		}
	}
	return false
}
