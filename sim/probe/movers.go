package probe

import (
	"fmt"
	"slices"

	"trundle/console"
)

// mover is a control that moves keys: from some keyboards, to a division.
type mover struct {
	control  int
	from     []int // keyboards whose keys it moves, lets through or stops
	picks    bool
	cuts     bool  // it lets keys through or stops them, and moves none itself
	keysOnly bool  // it cuts a division's home keys, and no coupler
	own      bool  // it moves the keys of a division that floats
	to       int   // division; None for one that has no single one
	reach    []int // keyboards whose couplers may follow
}

// movers are the steps of couplers, unison offs, transfers and divides.
func (p *planner) movers() {
	list := p.listMovers()
	p.far(list)
	for i, m := range list {
		p.alone(m)
		for j, other := range list {
			if i != j && p.meet(m, other) {
				p.together(m, other)
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
	for _, w := range p.witnessesOf(m) {
		draw := append(slices.Clone(w.stops), m.control)
		p.each(draw, m)
		if len(rest) > 0 {
			p.sparse(draw, rest...)
		}
	}
}

// together are the steps of one with another.
func (p *planner) together(m, other mover) {
	m.picks = m.picks || other.picks
	for _, w := range p.witnessesOf(m, other) {
		p.pressSparse(append(slices.Clone(w.stops), m.control, other.control), m)
	}
}

// crowd are the steps of some, with all stops and all movers that should leave
// what couplers pass alone.
func (p *planner) crowd(list []mover, some ...mover) {
	var draw []int
	for _, s := range p.in.Stops {
		draw = append(draw, s.Control)
	}
	for _, other := range list {
		if other.keysOnly || !slices.ContainsFunc(some, func(m mover) bool { return m.control != other.control && p.meet(m, other) }) {
			draw = append(draw, other.control)
		}
	}
	for _, m := range some {
		draw = append(draw, m.control)
	}
	p.pressSparse(draw, some[0])
}

// each presses the keyboards of one that moves keys, each alone.
func (p *planner) each(draw []int, m mover) {
	for _, k := range m.from {
		p.step(slices.Clone(draw), k)
		if m.picks {
			p.neighbours(slices.Clone(draw), k)
		}
	}
}

// pressSparse is each with sparse chords.
func (p *planner) pressSparse(draw []int, m mover) {
	for _, k := range m.from {
		p.sparse(slices.Clone(draw), k)
		if m.picks {
			p.neighbours(slices.Clone(draw), k)
		}
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
			for _, n := range wants(p.in, s) {
				if !own.Has(n) {
					missing[n], far = true, true
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
			p.code(stops, []int{list[best].control}, list[best].from)
			p.sparse(append(p.others(), list[best].control), list[best].from...)
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

// witnessesOf are the witnesses of what some move.
func (p *planner) witnessesOf(some ...mover) []witness {
	var divisions []int
	for _, m := range some {
		divisions = append(divisions, p.heardFrom(m)...)
	}
	return slices.DeleteFunc(slices.Clone(p.witnesses), func(w witness) bool { return !share(w.divisions, divisions) })
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

// neighbours presses every key with the next one up, so that what picks has to
// choose, and chooses each once.
func (p *planner) neighbours(draw []int, k int) {
	keys := p.in.Keyboards[k].Keys
	var chords [][]console.Held
	for n := keys.From; n <= keys.To; n++ {
		chord := []console.Held{{Key: console.Key{Keyboard: k, Note: n}}}
		if n < keys.To {
			chord = append(chord, console.Held{Key: console.Key{Keyboard: k, Note: n + 1}})
		}
		chords = append(chords, chord)
	}
	p.add(draw, chords)
}

func (p *planner) listMovers() []mover {
	in := p.in
	var list []mover
	for _, c := range in.Couplers {
		home := in.Divisions[c.Division].Keyboard
		m := mover{control: c.Control, from: []int{c.Keyboard}, to: c.Division, picks: c.Picks != console.PicksAll}
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
	return cuts || a.to == b.to && (a.own || b.own) || share(a.reach, b.from) || share(b.reach, a.from) && (a.cuts || b.cuts)
}

func share(a, b []int) bool {
	return slices.ContainsFunc(a, func(k int) bool { return slices.Contains(b, k) })
}

// witness is stops that are drawn while keys are moved, and the divisions that
// they make heard.
type witness struct{ stops, divisions []int }

// hearing is a note of a division, of one contact of the keys.
type hearing struct {
	division, touch int
	note            console.Note
}

// chooseWitnesses chooses stops by which every note of every division is heard,
// parted so that no two of one witness open a valve by different keys.
func (p *planner) chooseWitnesses() {
	heard := map[hearing]bool{}
	for {
		kept, w := p.apart(), witness{}
		for d := range p.in.Divisions {
			for {
				stop, notes := p.mostHeard(d, w.stops, heard)
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
			return
		}
		p.witnesses = append(p.witnesses, w)
	}
}

// mostHeard is the stop of a division that makes most notes heard which are
// not yet, and those notes; None when no stop does.
func (p *planner) mostHeard(d int, drawn []int, heard map[hearing]bool) (best int, notes map[console.Note]bool) {
	best = console.None
	for s, stop := range p.in.Stops {
		if stop.Division != d || slices.Contains(drawn, stop.Control) {
			continue
		}
		fresh := map[console.Note]bool{}
		for _, n := range wants(p.in, s) {
			if !heard[hearing{d, stop.Touch, n}] {
				fresh[n] = true
			}
		}
		if len(fresh) > len(notes) {
			best, notes = s, fresh
		}
	}
	return best, notes
}

func stepName(draw []int, chords [][]console.Held) string {
	return fmt.Sprint(draw, chords[0], len(chords))
}
