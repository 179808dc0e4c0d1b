package probe

import (
	"trundle/console"
	"trundle/sim/wiring"
)

// word has a bit for each of 64 states.
type word = uint64

// Set is a set of numbers from 0: of valves, or of chords.
type Set []uint64

func newSet(size int) Set { return make(Set, (size+63)/64) }

// Has reports whether a number is in the set.
func (s Set) Has(i int) bool { return s[i/64]>>(i%64)&1 == 1 }

func (s Set) add(i int) { s[i/64] |= 1 << (i % 64) }

// Run is the valves that a relay opens while keys are held and controls are on.
func (x *Running) Run(held []console.Held, on []int) Set {
	var s space
	open := newSet(len(x.valves))
	for v, w := range s.run(x, x.state(held, on)) {
		if w&1 == 1 {
			open.add(v)
		}
	}
	return open
}

// Driven is what a relay drives meanwhile of what opens valves. What leads through
// a plug is taken for what the plan has there.
func (x *Running) Driven(held []console.Held, on []int) map[wiring.Item]bool {
	var s space
	s.drive(x, s.madeIn(x, x.state(held, on)))
	items := map[wiring.Item]bool{}
	for item, o := range x.outputs {
		if s.outputs[o]&1 == 1 {
			items[item] = true
		}
	}
	for i, f := range x.feeds {
		if s.outputs[f.output]&1 == 1 {
			items[x.loop[i].Hangs] = true
		}
	}
	return items
}

// state is one state, as the contacts that are made.
func (x *Running) state(held []console.Held, on []int) []word {
	contacts := make([]word, len(x.contacts)+1)
	x.set(contacts, 1, held, on)
	return contacts
}

// set makes the contacts of a state in some of the 64.
func (x *Running) set(contacts []word, bits word, held []console.Held, on []int) {
	set := func(item wiring.Item) {
		if c := x.contacts[item]; c > 0 {
			contacts[c] |= bits
		}
	}
	for _, c := range on {
		set(wiring.Item{Kind: wiring.ControlKind, Index: c, Of: console.None})
	}
	for _, h := range held {
		key := wiring.Item{Kind: wiring.KeyKind, Index: h.Keyboard, Of: console.None, Note: int(h.Note)}
		if set(key); h.Deep {
			key.Kind = wiring.Key2Kind
			set(key)
		}
	}
}

// space is where a relay is run: the states in which each thing is on.
type space struct {
	nets, labels, notes, outputs, valves []word
	holds                                []word // by row
	fed                                  []word // contacts, those too that a plug makes
}

// cleared is a list of so many zeros, in the space of an old one where it fits.
func cleared(old []word, length int) []word {
	if cap(old) < length {
		return make([]word, length)
	}
	old = old[:length]
	clear(old)
	return old
}

// run is the states in which each valve is open, of those in which contacts are
// made. It stands until the next run.
func (s *space) run(x *Running, contacts []word) []word {
	if len(x.feeds) > 0 {
		return s.looped(x, contacts)
	}
	s.drive(x, contacts)
	s.valves = cleared(s.valves, len(x.valves))
	for v := range x.valves {
		o := &x.valves[v]
		open := s.outputs[o.own]
		for _, p := range o.pairs {
			open |= s.outputs[p.line] & (s.outputs[p.action] | s.outputs[p.on]&^s.outputs[p.off])
		}
		s.valves[v] = open
	}
	return s.valves
}

// drive finds what is driven.
func (s *space) drive(x *Running, contacts []word) {
	s.read(x, contacts)
	s.couple(x)
	s.nets = cleared(s.nets, x.nets)
	for i := range x.rows {
		r := &x.rows[i]
		if s.holds[i] == 0 || r.kind != wiring.Drive {
			continue
		}
		for at, pin := range r.pins {
			on := s.holds[i]
			if r.notes != nil {
				on &= s.notes[r.notes[at]]
			}
			s.nets[x.netOf[pin]] |= on
		}
	}
	s.nets[0] = 0
	s.outputs = cleared(s.outputs, len(x.outputs)+1)
	for _, h := range x.hung {
		s.outputs[h.thing] |= s.nets[x.netOf[h.terminal]]
	}
}

// read puts what pins read on labels and lines, and finds out which rows hold.
func (s *space) read(x *Running, contacts []word) {
	s.nets, s.labels, s.notes = cleared(s.nets, x.nets), cleared(s.labels, len(x.labels)+1), cleared(s.notes, (len(x.lines)+1)*span)
	for _, h := range x.made {
		s.nets[x.netOf[h.terminal]] |= contacts[h.thing]
	}
	s.nets[0] = 0
	for i := range x.rows {
		r := &x.rows[i]
		if r.kind != wiring.Read {
			continue
		}
		for at, pin := range r.pins {
			if on := s.nets[x.netOf[pin]]; r.notes == nil {
				s.labels[r.label] |= on
			} else {
				s.notes[r.notes[at]] |= on
			}
		}
	}
	s.holds = cleared(s.holds, len(x.rows))
	for i := range x.rows {
		s.holds[i] = asked(x.rows[i].control, s.labels)
	}
}

// asked is the states in which all that a row asks holds.
func asked(control []literal, labels []word) word {
	all := ^word(0)
	for _, l := range control {
		if l.not {
			all &^= labels[l.label]
		} else {
			all &= labels[l.label]
		}
	}
	return all
}

// couple passes notes between lines until nothing more is passed. A row that
// picks has its say once all is known that it picks from.
func (s *space) couple(x *Running) {
	s.close(x)
	for _, i := range x.picks {
		r, grew := &x.rows[i], word(0)
		left, picked := s.holds[i], word(0) // states in which nothing is picked yet; in which something is
		for k, at := range r.order {
			if k > 0 && r.notes[at] != r.notes[r.order[k-1]] { // a note may lead to several places
				left &^= picked
			}
			on := s.notes[r.notes[at]] & left
			picked |= on
			grew |= on &^ s.notes[r.to[at]]
			s.notes[r.to[at]] |= on
		}
		if grew != 0 {
			s.close(x)
		}
	}
}

func (s *space) close(x *Running) {
	for grew := true; grew; {
		grew = false
		for i := range x.rows {
			r := &x.rows[i]
			hold := s.holds[i]
			if hold == 0 || r.kind != wiring.Couple || r.order != nil {
				continue
			}
			for at, from := range r.notes {
				if more := s.notes[from] & hold &^ s.notes[r.to[at]]; more != 0 {
					s.notes[r.to[at]] |= more
					grew = true
				}
			}
		}
	}
}
