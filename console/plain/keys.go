package plain

import (
	"maps"
	"slices"

	"trundle/console"
)

// A plane is everything that one contact under the keys leads to. The first
// contact's plane starts from all held keys, the second's from those held
// down to it.
type plane struct {
	held  []Notes // P, by keyboard
	moved []Notes // Q, by keyboard
	own   []Notes // O, by division
	line  []Notes // L, by division
}

// contacts is P of both planes, after what comes before step 1: transfers,
// then the transposer.
func (o organ) contacts(s console.State) (first, second []Notes) {
	first, second = empty(len(o.Keyboards)), empty(len(o.Keyboards))
	for _, h := range s.Held {
		first[h.Keyboard][h.Note] = true
		if h.Deep && o.Keyboards[h.Keyboard].Touches == 2 {
			second[h.Keyboard][h.Note] = true
		}
	}
	for _, keys := range [][]Notes{first, second} {
		for _, t := range o.Transfers {
			if a, b := t.Keyboards[0], t.Keyboards[1]; o.on[t.Control] {
				keys[a], keys[b] = keys[b], keys[a]
			}
		}
		for m, held := range keys {
			keys[m] = held.shifted(s.Transpose)
		}
	}
	return first, second
}

// coupledKeys is step 1: the least sets Q. A coupler reads p itself, or deep
// where it has the second touch.
func (o organ) coupledKeys(p, deep *plane) {
	for m, held := range p.held {
		maps.Copy(p.moved[m], held)
	}
	for grew := true; grew; {
		grew = false
		for _, c := range o.Couplers {
			home := o.Divisions[c.Division].Keyboard
			if !o.on[c.Control] || c.Keyboard == console.None || c.Carries != console.CarriesAll || home == console.None {
				continue
			}
			compass := o.Keyboards[c.Keyboard].Keys
			for k := range o.passes(c, p, deep) {
				n := k + console.Note(c.Shift)
				if compass.Has(k) && o.Keyboards[home].Keys.Has(n) && !p.moved[home][n] {
					p.moved[home][n] = true
					grew = true
				}
			}
		}
	}
}

// passes is the keys that foreign coupler c passes, before its shift: those
// within keys(c), but for what a divide keeps from it, and of these the one
// it picks. Off the compass keys(c) is what the file declares.
func (o organ) passes(c console.Coupler, p, deep *plane) Notes {
	if c.Touch == 2 {
		p = deep
	}
	passed := Notes{}
	for k := range p.moved[c.Keyboard] {
		if c.Keys.Has(k) && !o.divided(c.Keyboard, func(split console.Note) bool { return k < split }) {
			passed[k] = true
		}
	}
	if len(passed) > 0 {
		switch keys := slices.Sorted(maps.Keys(passed)); c.Picks {
		case console.PicksLowest:
			return Notes{keys[0]: true}
		case console.PicksHighest:
			return Notes{keys[len(keys)-1]: true}
		}
	}
	return passed
}

// divided reports whether a divide of keyboard m is on whose split keeps a key.
func (o organ) divided(m int, keeps func(split console.Note) bool) bool {
	return slices.ContainsFunc(o.Divides, func(d console.Divide) bool {
		return d.Keyboard == m && o.on[d.Control] && keeps(d.Split)
	})
}
