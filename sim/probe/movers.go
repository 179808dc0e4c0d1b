package probe

import (
	"slices"

	"trundle/console"
)

// mover is a control that moves keys: from some keyboards, to a division.
type mover struct {
	control  int
	coupler  *console.Coupler // nil for another control, and for several at once
	from     []int            // keyboards whose keys it moves, lets through or stops
	picks    bool
	cuts     bool  // it lets keys through or stops them, and moves none itself
	keysOnly bool  // it cuts a division's home keys, and no coupler
	own      bool  // it moves the keys of a division that floats
	to       int   // division; None for one that has no single one
	reach    []int // keyboards whose couplers may follow
}

// moving are the steps of couplers, unison offs, transfers and divides.
func (p *planner) moving() {
	list := p.movers
	p.far(list)
	for i, m := range list {
		if len(m.from) == 0 {
			continue // of a division that no key reaches
		}
		p.alone(m)
		for j, other := range list {
			if i != j && p.meet(m, other) {
				p.together(list, m, other)
				p.crowd(list, m, other)
			}
		}
		p.crowd(list, m)
	}
}

// alone are the steps of one that moves keys: its own keyboards, each alone,
// then the others together.
func (p *planner) alone(m mover) {
	rest := slices.DeleteFunc(p.keyboards(), func(k int) bool { return slices.Contains(m.from, k) })
	for _, w := range p.of(p.witnesses, m) {
		draw := append(slices.Clone(w.stops), m.control)
		p.each(draw, m)
		if len(rest) > 0 {
			p.sparse(draw, rest...)
		}
		for _, stops := range p.filled(w) {
			p.pressSparse(append(slices.Clone(stops), m.control), m)
			if len(rest) > 0 {
				p.sparse(append(slices.Clone(stops), m.control), rest...)
			}
		}
	}
	all := []int{m.control}
	for _, s := range p.in.Stops {
		all = append(all, s.Control)
	}
	p.pressSparse(all, m)
	for _, k := range m.from {
		p.neighbours(all, m, k, 1)
	}
	for _, w := range p.of(p.seconds, m) {
		p.pressSparse(append(slices.Clone(w.stops), m.control), m)
	}
}

// together are the steps of one with another: alone, and with all that follow
// them, by which alone they may be heard.
func (p *planner) together(list []mover, m, other mover) {
	both := m
	if !m.picks && other.picks {
		both.picks, both.coupler = true, nil
	}
	for _, w := range p.of(p.witnesses, m, other) {
		draw := append(slices.Clone(w.stops), m.control, other.control)
		p.pressSparse(draw, both)
		if other.picks && !slices.Contains(other.from, m.from[0]) {
			p.across(draw, m.from[0], other.from[0])
		}
		p.pressSparse(p.drawn(draw, 4, 4), both)
		for _, next := range list {
			if !next.cuts && share(m.reach, next.from) {
				draw = append(draw, next.control)
			}
		}
		p.pressSparse(draw, both)
	}
}

// crowd are the steps of some, with all stops by turns and all other controls
// that should leave what couplers pass alone.
func (p *planner) crowd(list []mover, some ...mover) {
	with, first := p.others(), some[0]
	for _, other := range list {
		if other.keysOnly || !slices.ContainsFunc(some, func(m mover) bool { return m.control != other.control && p.meet(m, other) }) {
			with = append(with, other.control)
		}
	}
	for _, m := range some {
		with = append(with, m.control)
		if !first.picks && m.picks {
			first.picks, first.coupler = true, nil
		}
	}
	for _, w := range p.of(p.witnesses, some...) {
		for _, stops := range p.filled(w) {
			p.pressSparse(slices.Concat(stops, with), first)
			if len(some) > 1 && p.in.Keyboards[first.from[0]].Touches == 1 {
				return // of two, all stops by turns only where some are heard by a second touch alone
			}
		}
	}
}

// each presses the keyboards of one that moves keys, each alone.
func (p *planner) each(draw []int, m mover) {
	for _, k := range m.from {
		p.step(draw, k)
		p.neighbours(draw, m, k, 1)
	}
}

// pressSparse is each with few chords.
func (p *planner) pressSparse(draw []int, m mover) {
	for _, k := range m.from {
		p.sparse(draw, k)
		p.neighbours(draw, m, k, 3)
	}
}

// far are the steps of stops that open valves for notes which only couplers
// reach, beyond the keys of their division's own keyboard: with as few couplers
// as reach most of them.
func (p *planner) far(list []mover) {
	for d, division := range p.in.Divisions {
		own := console.Span{From: 1}
		if division.Keyboard != console.None {
			own = p.in.Keyboards[division.Keyboard].Keys
		}
		missing := map[console.Note]bool{}
		var stops []int
		for s, stop := range p.in.Stops {
			if stop.Division != d {
				continue
			}
			far := false
			for _, t := range p.wants[s] {
				if !own.Has(t.note) {
					missing[t.note], far = true, true
				}
			}
			if far {
				stops = append(stops, s)
			}
		}
		for len(missing) > 0 {
			best, reached := -1, []console.Note(nil)
			for i, m := range list {
				if fresh := p.reaches(m, d, missing); len(fresh) > len(reached) {
					best, reached = i, fresh
				}
			}
			if best < 0 {
				break
			}
			for _, n := range reached {
				delete(missing, n)
			}
			for _, draw := range p.code(stops) {
				p.each(append(draw, list[best].control), list[best])
			}
			for _, draw := range p.coded {
				p.pressSparse(append(slices.Clone(draw), list[best].control), list[best])
			}
			p.pressSparse(append(p.others(), list[best].control), list[best])
		}
	}
}

// reaches are the notes of a set that a coupler plays in a division.
func (p *planner) reaches(m mover, d int, set map[console.Note]bool) []console.Note {
	i := slices.IndexFunc(p.in.Couplers, func(c console.Coupler) bool { return c.Control == m.control })
	if i < 0 || m.to != d {
		return nil
	}
	c := p.in.Couplers[i]
	var notes []console.Note
	for _, k := range m.from {
		keys := p.in.Keyboards[k].Keys.Cut(c.Keys)
		for n := keys.From; n <= keys.To; n++ {
			if to := n + console.Note(c.Shift); set[to] && !slices.Contains(notes, to) {
				notes = append(notes, to)
			}
		}
	}
	return notes
}

// neighbours presses keys so many apart, each with the next one down or up, so
// that what picks has to choose; every key where few are heard.
func (p *planner) neighbours(draw []int, m mover, k int, apart int) {
	if !m.picks {
		return
	}
	all := p.choices(draw, m, k)
	if len(all) < 4*apart {
		apart = 1
	}
	var chords [][]console.Held
	for i := 0; i < len(all); i += apart {
		chords = append(chords, all[i])
	}
	if len(chords) > 0 {
		p.add(draw, chords)
	}
}

// choices are chords of two neighbours, of which what picks would choose the one
// or the other, by the keys that are heard while stops are drawn.
func (p *planner) choices(draw []int, m mover, k int) (chords [][]console.Held) {
	keys, other := p.in.Keyboards[k].Keys, console.Note(1)
	if m.coupler != nil && m.coupler.Picks == console.PicksHighest {
		other = -1
	}
	heard := p.heardOf(draw, m)
	for touch := range p.in.Keyboards[k].Touches {
		for n := keys.From; n <= keys.To; n++ {
			if m.coupler != nil && !heard[n] {
				continue
			}
			chord := []console.Held{{Key: console.Key{Keyboard: k, Note: n}, Deep: touch == 1}}
			if keys.Has(n + other) {
				chord = append(chord, console.Held{Key: console.Key{Keyboard: k, Note: n + other}, Deep: touch == 1})
			}
			chords = append(chords, chord)
		}
	}
	return chords
}

// heardOf are the keys that open a valve by a coupler, while stops are drawn.
func (p *planner) heardOf(draw []int, m mover) (keys [console.HighestNote + 1]bool) {
	if m.coupler == nil {
		return keys
	}
	for s, stop := range p.in.Stops {
		if stop.Division != m.to || !slices.Contains(draw, stop.Control) {
			continue
		}
		for _, t := range p.wants[s] {
			if key := t.note - console.Note(m.coupler.Shift); console.AllNotes.Has(key) && m.coupler.Keys.Has(key) {
				keys[key] = true
			}
		}
	}
	return keys
}

// across presses every key of a keyboard with the next one up of another, and
// the next one down.
func (p *planner) across(draw []int, from, to int) {
	var chords [][]console.Held
	for _, by := range []console.Note{1, -1} {
		for n := p.in.Keyboards[from].Keys.From; n <= p.in.Keyboards[from].Keys.To; n++ {
			if p.in.Keyboards[to].Keys.Has(n + by) {
				chords = append(chords, []console.Held{{Key: console.Key{Keyboard: from, Note: n}}, {Key: console.Key{Keyboard: to, Note: n + by}}})
			}
		}
	}
	p.add(draw, chords)
}

func listMovers(in *console.Instrument) []mover {
	var list []mover
	for i, c := range in.Couplers {
		home := in.Divisions[c.Division].Keyboard
		m := mover{coupler: &in.Couplers[i], control: c.Control, from: []int{c.Keyboard}, to: c.Division, picks: c.Picks != console.PicksAll}
		if c.Keyboard == console.None {
			m.from = []int{home}
		}
		if home != console.None {
			m.reach = []int{home}
		}
		if m.from[0] == console.None { // own coupler of a division that floats: heard through those that reach it
			m.from, m.own = nil, true
			for _, other := range in.Couplers {
				if other.Division == c.Division && other.Keyboard != console.None {
					m.from = append(m.from, other.Keyboard)
				}
			}
		}
		list = append(list, m)
	}
	for _, u := range in.UnisonOffs {
		m := mover{control: u.Control, to: u.Division, cuts: true, keysOnly: u.Cuts == console.CutsKeys}
		if home := in.Divisions[u.Division].Keyboard; home != console.None {
			m.from, m.reach = []int{home}, []int{home}
		}
		list = append(list, m)
	}
	for _, t := range in.Transfers {
		list = append(list, mover{control: t.Control, cuts: true, from: t.Keyboards[:], to: console.None, reach: t.Keyboards[:]})
	}
	for _, d := range in.Divides {
		list = append(list, mover{control: d.Control, cuts: true, from: []int{d.Keyboard}, to: console.None, reach: []int{d.Keyboard}})
	}
	return list
}

// meet reports whether what one moves may reach the other, or is cut by it.
func (p *planner) meet(a, b mover) bool {
	cuts := (a.cuts || b.cuts) && a.to == b.to
	return cuts || a.to == b.to && share(a.from, b.from) || a.to == b.to && (a.own || b.own) || share(a.reach, b.from) || share(b.reach, a.from) && (a.cuts || b.cuts)
}

func share(a, b []int) bool {
	return slices.ContainsFunc(a, func(k int) bool { return slices.Contains(b, k) })
}

// stepName is the same for the same controls and chords.
func stepName(draw []int, chords [][]console.Held) string {
	var name []byte
	for _, c := range draw {
		name = append(name, byte(c), byte(c>>8))
	}
	name = append(name, 0xff, 0xff, byte(len(chords)), byte(len(chords)>>8))
	for _, chord := range chords[:min(1, len(chords))] {
		for _, h := range chord {
			deep := byte(0)
			if h.Deep {
				deep = 1
			}
			name = append(name, byte(h.Keyboard), byte(h.Note), deep)
		}
	}
	return string(name)
}
