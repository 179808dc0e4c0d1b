package listen

import (
	"slices"

	"trundle/console"
)

// together has a pool try stops in groups of one division, each by every key: of so
// many at most, whose footages differ; a reed, a mixture and a stop of several
// ranks alone. Common practice, no source.
func (p *pool) together(most int) {
	in := p.l.in
	grouped := make([]bool, len(in.Stops))
	joins := func(group []int, s int) bool {
		stop := in.Stops[s]
		return !slices.ContainsFunc(group, func(other int) bool {
			o := in.Stops[other]
			return o.Division != stop.Division || o.Touch != stop.Touch || o.Feet == stop.Feet
		})
	}
	plain := func(s int) bool {
		return len(in.Stops[s].Takes) == 1 && in.Stops[s].Feet != (console.Feet{}) && !p.l.hard([]int{in.Stops[s].Control})
	}
	for s := range in.Stops {
		if grouped[s] {
			continue
		}
		group := []int{s}
		for o := s + 1; o < len(in.Stops) && len(group) < most && plain(s); o++ {
			if !grouped[o] && plain(o) && joins(group, o) {
				grouped[o], group = true, append(group, o)
			}
		}
		p.stops(group)
		for _, s := range group {
			if len(group) > 1 {
				p.alone(s)
			}
		}
	}
}

// alone are the lowest, middle and highest note of a stop.
func (p *pool) alone(s int) {
	if notes := p.l.notes(s); len(notes) > 0 {
		for _, n := range slices.Compact([]console.Note{notes[0], notes[len(notes)/2], notes[len(notes)-1]}) {
			p.sound([]int{s}, n)
		}
	}
}

// strays are keys of every keyboard, and of what floats, with each control, alone and
// with a stop of each division: what the control draws or moves besides is heard
// where it should not be.
func (p *pool) strays() {
	l := p.l
	var witnesses, winds []int
	for d := range l.in.Divisions {
		if s := l.witness(d, 1); s != console.None {
			witnesses = append(witnesses, l.in.Stops[s].Control)
		}
	}
	for _, v := range l.in.Ventils {
		if len(v.Admits) > 0 {
			winds = append(winds, v.Control)
		}
	}
	for c, contact := range l.m.controls {
		if contact < 0 {
			continue
		}
		for k, keyboard := range l.in.Keyboards {
			p.add(Try{l.draws(append(winds, c)...), l.press(k, (keyboard.Keys.From+keyboard.Keys.To)/2)})
			for _, n := range p.some(k) {
				p.add(Try{l.draws(append(witnesses, c)...), l.press(k, n)})
			}
		}
		for d, division := range l.in.Divisions {
			if h, coupler, ok := l.reach(d, (division.Notes.From+division.Notes.To)/2, 1); ok && division.Keyboard == console.None {
				p.add(Try{l.draws(append(append(winds, c), coupler...)...), []console.Held{h}})
				p.add(Try{l.draws(append(append(witnesses, c), coupler...)...), []console.Held{h}})
			}
		}
	}
}
