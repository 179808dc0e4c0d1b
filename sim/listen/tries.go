package listen

import (
	"slices"

	"trundle/console"
)

// plainly has a pool try everything the plain way: nothing drawn, every stop alone
// by every key, every coupler and unison off with a stop, and those that meet.
func (p *pool) plainly() {
	p.bare()
	for s := range p.l.in.Stops {
		p.stops([]int{s})
	}
	p.couplers()
	p.meetings()
}

// passes reports whether a key, the i-th, is passed by in a coarse pool.
func (p *pool) passes(i int, n console.Note) bool {
	return p.stride > 1 && i%p.stride != 0 && !slices.Contains(p.notes, n)
}

// bare is keys with nothing drawn.
func (p *pool) bare() {
	p.add(Try{})
	for k := range p.l.in.Keyboards {
		for _, n := range p.some(k) {
			p.add(Try{Held: p.l.press(k, n)})
		}
	}
}

// some are a keyboard's lowest, middle and highest key.
func (p *pool) some(k int) []console.Note {
	keys := p.l.in.Keyboards[k].Keys
	return slices.Compact([]console.Note{keys.From, (keys.From + keys.To) / 2, keys.To})
}

// stops are stops of one division drawn together, by every key.
func (p *pool) stops(stops []int) {
	var notes []console.Note
	for _, s := range stops {
		notes = append(notes, p.l.notes(s)...)
	}
	slices.Sort(notes)
	for i, n := range slices.Compact(notes) {
		if !p.passes(i, n) {
			p.sound(stops, n)
		}
	}
}

// sound is a note of the line of some stops, drawn together.
func (p *pool) sound(stops []int, n console.Note) {
	first := p.l.in.Stops[stops[0]]
	if h, coupler, ok := p.l.reach(first.Division, n, first.Touch); ok {
		controls := coupler
		for _, s := range stops {
			controls = append(controls, p.l.in.Stops[s].Control)
		}
		p.add(Try{Draw: p.l.draws(controls...), Held: []console.Held{h}})
	}
}

// couplers are each coupler by every key that it passes on, and each unison off.
func (p *pool) couplers() {
	l := p.l
	for _, c := range l.in.Couplers {
		s := l.witness(c.Division, 1)
		if s == console.None {
			if s = l.witness(c.Division, 2); s == console.None {
				continue
			}
		}
		draw := l.draws(c.Control, l.in.Stops[s].Control)
		for _, k := range l.from(c) {
			keys := l.in.Keyboards[k].Keys
			for n := keys.From; n <= keys.To; n++ {
				if !p.passes(int(n-keys.From), n) && (c.Keys.Has(n) || n == c.Keys.From-1 || n == c.Keys.To+1) {
					p.add(Try{Draw: draw, Held: p.l.press(k, n)})
				}
			}
			if c.Picks != console.PicksAll {
				keys = keys.Cut(c.Keys)
				for n := keys.From; n < keys.To; n++ {
					p.add(Try{Draw: draw, Held: append(p.l.press(k, n), p.l.press(k, n+1)...)})
				}
			}
		}
	}
	for _, u := range l.in.UnisonOffs {
		if s, home := l.witness(u.Division, 1), l.in.Divisions[u.Division].Keyboard; s != console.None && home != console.None {
			for _, n := range p.some(home) {
				p.add(Try{Draw: l.draws(u.Control, l.in.Stops[s].Control), Held: p.l.press(home, n)})
			}
		}
	}
}

// mover is a control that moves keys: the keyboards that it bears on, and the
// divisions in which it is heard.
type mover struct {
	control             int
	keyboards, division []int
}

func (l *Listener) movers() []mover {
	in := l.in
	var list []mover
	at := func(keyboards ...int) (divisions []int) {
		for d, division := range in.Divisions {
			if slices.Contains(keyboards, division.Keyboard) {
				divisions = append(divisions, d)
			}
		}
		return divisions
	}
	for _, c := range in.Couplers {
		list = append(list, mover{c.Control, l.from(c), []int{c.Division}})
	}
	for _, u := range in.UnisonOffs {
		m := mover{control: u.Control, division: []int{u.Division}}
		if home := in.Divisions[u.Division].Keyboard; home != console.None {
			m.keyboards = []int{home}
		}
		list = append(list, m)
	}
	for _, t := range in.Transfers {
		list = append(list, mover{t.Control, t.Keyboards[:], at(t.Keyboards[:]...)})
	}
	for _, d := range in.Divides {
		list = append(list, mover{d.Control, []int{d.Keyboard}, at(d.Keyboard)})
	}
	return list
}

// meetings are each two that move keys and may meet, with a stop by which the
// second is heard, and each alone.
func (p *pool) meetings() {
	l := p.l
	list := l.movers()
	for i, a := range list {
		for j, b := range list {
			if i != j && !p.meet(a, b) {
				continue
			}
			for _, d := range b.division {
				s := l.witness(d, 1)
				if s == console.None {
					continue
				}
				draw := l.draws(a.control, b.control, l.in.Stops[s].Control)
				for _, k := range a.keyboards {
					for _, n := range p.some(k) {
						p.add(Try{Draw: draw, Held: p.l.press(k, n)})
					}
				}
			}
		}
	}
}

// meet reports whether what one moves may reach the other, or is cut by it.
func (p *pool) meet(a, b mover) bool {
	share := func(a, b []int) bool {
		return slices.ContainsFunc(a, func(i int) bool { return slices.Contains(b, i) })
	}
	if share(a.division, b.division) {
		return true
	}
	return slices.ContainsFunc(a.division, func(d int) bool { return slices.Contains(b.keyboards, p.l.in.Divisions[d].Keyboard) })
}
