package cause

import (
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// notes is the states in which each note of a line is on.
type notes [console.HighestNote + 1]word

// run is what a relay does in the states of a trial.
type run struct {
	labels map[string]word
	made   []word  // by net: the states in which a contact on it is made
	first  []notes // lines before rows pass anything
	lines  []notes
	driven []word // by net
	acts   []word // by thing: whether a net on which it hangs is driven
	wrong  []word // by valve: whether it is open and should not be, or the other way round
}

// run runs rows on a wiring.
func (t *trial) run(w *wired, lines int, rows []*step) *run {
	r := &run{}
	r.begin(t, w, lines, rows)
	return r
}

// begin runs rows anew, in the space of what was run before.
func (r *run) begin(t *trial, w *wired, lines int, rows []*step) {
	r.labels, r.first = map[string]word{}, cleared(r.first, lines)
	r.made = w.made(t.things, cleared(r.made, w.nets.Len()))
	r.read(r.made, rows)
	r.finish(t, w, rows)
}

// cleared is a list of so many zeros, in the space of an old one where it has
// as much.
func cleared[T any](old []T, length int) []T {
	if cap(old) < length {
		return make([]T, length)
	}
	old = old[:length]
	clear(old)
	return old
}

// finish runs what follows the reads.
func (r *run) finish(t *trial, w *wired, rows []*step) {
	r.lines, r.driven = append(r.lines[:0], r.first...), cleared(r.driven, w.nets.Len())
	r.couple(rows)
	for _, s := range rows {
		if s.kind == wiring.Drive {
			r.drive(s, func(net int, on word) { r.driven[net] |= on })
		}
	}
	r.acts = cleared(r.acts, len(t.things.made))
	for _, h := range w.hangs {
		if h.thing >= 0 && h.net >= 0 {
			r.acts[h.thing] |= r.driven[h.net]
		}
	}
	r.wrong = cleared(r.wrong, len(t.want))
	for v := range r.wrong {
		r.wrong[v] = t.things.open(v, r.acts) ^ t.want[v]
	}
}

// made is the states in which a contact on each net is made, put into a list of
// zeros.
func (w *wired) made(h *things, on []word) []word {
	for _, hang := range w.hangs {
		if hang.thing >= 0 && hang.net >= 0 {
			on[hang.net] |= h.made[hang.thing]
		}
	}
	return on
}

// open is the states in which a valve is open.
func (h *things) open(valve int, acts []word) word {
	s := &h.valves[valve]
	open := word(0)
	if s.magnet >= 0 {
		open = acts[s.magnet]
	}
	for _, m := range s.meets {
		open |= acts[m.note] & (acts[m.action] | acts[m.on]&^acts[m.off])
	}
	return open
}

// read puts pins on labels and lines.
func (r *run) read(on []word, rows []*step) {
	for _, s := range rows {
		if s.kind != wiring.Read {
			continue
		}
		for k, net := range s.nets {
			switch {
			case net < 0:
			case s.line < 0:
				r.labels[s.control[0].Label] |= on[net]
			case k < len(s.notes):
				r.first[s.line][s.notes[k]] |= on[net]
			}
		}
	}
}

// holds is the states in which a row's control holds.
func (r *run) holds(s *step) word {
	all := ^word(0)
	for _, l := range s.control {
		if on := r.labels[l.Label]; l.Not {
			all &^= on
		} else {
			all &= on
		}
	}
	return all
}

// during is a row and the states in which its control holds.
type during struct {
	*step
	word
}

// couple passes notes between lines. What rows pick they pick again when all
// is known that they pick from.
func (r *run) couple(rows []*step) {
	var all, picking []during
	for _, s := range rows {
		if s.kind == wiring.Couple {
			if while := r.holds(s); while == 0 {
				continue
			} else if s.picks == console.PicksAll {
				all = append(all, during{s, while})
			} else {
				picking = append(picking, during{s, while})
			}
		}
	}
	if len(picking) == 0 {
		r.close(all)
		return
	}
	var said []word // what rows have picked, place by place
	for range 4 * (1 + len(picking)) {
		r.close(all)
		say := r.picked(picking)
		if slices.Equal(say, said) {
			break
		}
		said = say
		copy(r.lines, r.first)
		for _, p := range picking {
			for _, k := range p.order {
				r.lines[p.to][p.toNotes[k]] |= say[0]
				say = say[1:]
			}
		}
	}
}

// close passes notes until nothing more is passed.
func (r *run) close(rows []during) {
	for grew := true; grew; {
		grew = false
		for _, s := range rows {
			from, to := &r.lines[s.line], &r.lines[s.to]
			for k := range min(len(s.notes), len(s.toNotes)) {
				if more := from[s.notes[k]] & s.word &^ to[s.toNotes[k]]; more != 0 {
					to[s.toNotes[k]] |= more
					grew = true
				}
			}
		}
	}
}

func (r *run) picked(rows []during) (say []word) {
	for _, s := range rows {
		before := word(0)
		for place, k := range s.order {
			from := r.lines[s.line][s.notes[k]]
			say = append(say, from&s.word&^before)
			if place+1 == len(s.order) || s.notes[s.order[place+1]] != s.notes[k] {
				before |= from
			}
		}
	}
	return say
}

// drive says on which nets a row drives its pins, and when.
func (r *run) drive(s *step, drives func(net int, on word)) {
	while := r.holds(s)
	if while == 0 {
		return
	}
	for k, net := range s.nets {
		switch {
		case net < 0:
		case s.line < 0:
			drives(net, while)
		case k < len(s.notes):
			drives(net, r.lines[s.line][s.notes[k]]&while)
		}
	}
}

// after is what is wrong with another relay.
func (t *trial) after(r *wiring.Relay) []word {
	w, names := t.things.wire(r), map[string]int{}
	rows := steps(r.Switch, w.nets, names)
	return t.run(w, len(names), rows).wrong
}
