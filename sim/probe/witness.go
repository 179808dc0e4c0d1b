package probe

import (
	"slices"

	"trundle/console"
)

// witness is stops that are drawn while keys are moved, and the divisions that
// they make heard.
type witness struct{ stops, divisions []int }

// hearing is a note of a division, of one contact of the keys.
type hearing struct {
	division, touch int
	note            console.Note
}

// of are those of some witnesses that hear what some move, each with the stops by
// which it does.
func (p *planner) of(witnesses []witness, some ...mover) (list []witness) {
	var divisions []int
	for _, m := range some {
		divisions = append(divisions, p.heardFrom(m)...)
	}
	for _, w := range witnesses {
		var stops []int
		for _, s := range p.in.Stops {
			if slices.Contains(w.stops, s.Control) && slices.Contains(divisions, s.Division) {
				stops = append(stops, s.Control)
			}
		}
		if len(stops) > 0 {
			list = append(list, witness{stops, w.divisions})
		}
	}
	return list
}

// heardFrom are the divisions in which one that moves keys may be heard.
func (p *planner) heardFrom(m mover) []int {
	var list []int
	for d, division := range p.in.Divisions {
		if d == m.to || division.Keyboard != console.None && slices.Contains(m.reach, division.Keyboard) {
			list = append(list, d)
		}
	}
	return list
}

// chooseWitnesses chooses stops by which every note of every division is heard,
// parted so that no two of one witness open a valve by different keys: once, and
// once more by other stops as far as there are any.
func (p *planner) chooseWitnesses() {
	used := map[int]bool{}
	p.witnesses = p.choose(used)
	for _, w := range p.witnesses {
		for _, control := range w.stops {
			used[control] = true
		}
	}
	p.seconds = p.choose(used)
}

func (p *planner) choose(but map[int]bool) (list []witness) {
	heard := map[hearing]bool{}
	for {
		kept, w := p.apart(), witness{}
		for d := range p.in.Divisions {
			for {
				stop, notes := p.mostHeard(d, w.stops, but, heard)
				if stop == console.None || !kept.take(stop) {
					break
				}
				w.stops = append(w.stops, p.in.Stops[stop].Control)
				if !slices.Contains(w.divisions, d) {
					w.divisions = append(w.divisions, d)
				}
				for n := range notes {
					heard[hearing{d, p.in.Stops[stop].Touch, n}] = true
				}
			}
		}
		if len(w.stops) == 0 {
			return list
		}
		list = append(list, w)
	}
}

// mostHeard is the stop of a division that makes most notes heard which are
// not yet, and those notes; None when no stop does.
func (p *planner) mostHeard(d int, drawn []int, but map[int]bool, heard map[hearing]bool) (best int, notes map[console.Note]bool) {
	best = console.None
	for s, stop := range p.in.Stops {
		if stop.Division != d || slices.Contains(drawn, stop.Control) || but[stop.Control] {
			continue
		}
		fresh := map[console.Note]bool{}
		for _, t := range p.wants[s] {
			if !heard[hearing{d, stop.Touch, t.note}] {
				fresh[t.note] = true
			}
		}
		if len(fresh) > len(notes) {
			best, notes = s, fresh
		}
	}
	return best, notes
}

// filled are registrations that together have all stops, each with those of a
// witness where they do not open a valve by different keys.
func (p *planner) filled(w witness) [][]int {
	name := stepName(w.stops, nil)
	if list, known := p.fills[name]; known {
		return list
	}
	left := map[int]bool{}
	for s := range p.in.Stops {
		left[s] = true
	}
	var list [][]int
	for with := w.stops; len(left) > 0; {
		kept, draw, fresh := p.apart(), []int(nil), false
		take := func(want func(s int, control int) bool) {
			for s, stop := range p.in.Stops {
				if want(s, stop.Control) && !slices.Contains(draw, stop.Control) && kept.take(s) {
					draw = append(draw, stop.Control)
					fresh = fresh || left[s]
					delete(left, s)
				}
			}
		}
		take(func(_, control int) bool { return slices.Contains(with, control) })
		take(func(s, _ int) bool { return left[s] })
		if !fresh {
			with = nil
			continue
		}
		take(func(int, int) bool { return true })
		list = append(list, draw)
	}
	p.fills[name] = list
	return list
}
