package certificate

import (
	"slices"

	"trundle/console"
)

// passes is the keys that a foreign coupler passes, before its shift: those
// within its keys but for what a divide keeps from it, and of these the one it
// picks.
func (o organ) passes(c console.Coupler, p, deep *plane) notes {
	if c.Touch == 2 {
		p = deep
	}
	passed := notes{}
	for _, k := range p.moved[c.Keyboard].each() {
		if c.Keys.Has(k) {
			passed[k] = o.and(p.moved[c.Keyboard][k], o.kept(c.Keyboard, k))
		}
	}
	if c.Picks == console.PicksAll {
		return passed
	}
	order := passed.each()
	if c.Picks == console.PicksHighest {
		slices.Reverse(order)
	}
	picked, before := notes{}, no
	for _, k := range order {
		picked[k] = o.and(passed[k], -before)
		before = o.or(before, passed[k])
	}
	return picked
}

// ownKeys is step 2: O, what own couplers read.
func (o organ) ownKeys(p, deep *plane) {
	for d, division := range o.Divisions {
		ways := map[console.Note][]lit{}
		if division.Keyboard != console.None {
			for n, l := range p.moved[division.Keyboard] {
				ways[n] = append(ways[n], l)
			}
		}
		for _, c := range o.Couplers {
			if c.Division == d && c.Keyboard != console.None && (c.Carries == console.CarriesOwn || division.Keyboard == console.None) {
				o.through(c, o.passes(c, p, deep), yes, ways)
			}
		}
		p.own = append(p.own, o.closed(ways))
	}
}

// divisionLines is step 3: L, within the division's notes.
func (o organ) divisionLines(p, deep *plane) {
	for d, division := range o.Divisions {
		ways := map[console.Note][]lit{}
		if h := division.Keyboard; h != console.None {
			uncut := -o.cut(d, console.CutsKeys, console.CutsLine, console.CutsAll)
			for _, n := range p.held[h].each() {
				divided := o.divides(h, func(split console.Note) bool { return n >= split })
				ways[n] = append(ways[n], o.and(p.held[h][n], uncut, -divided))
			}
		}
		for _, c := range o.Couplers {
			switch {
			case c.Division != d:
			case c.Keyboard != console.None:
				o.through(c, o.passes(c, p, deep), -o.cut(d, console.CutsLine, console.CutsAll), ways)
			default:
				o.through(c, o.ownOf(c, p, deep), -o.cut(d, console.CutsAll), ways)
			}
		}
		line := o.closed(ways)
		for n := range line {
			if !division.Notes.Has(n) {
				delete(line, n)
			}
		}
		p.line = append(p.line, line)
	}
}

// ownOf is the own keys that an own coupler reads.
func (o organ) ownOf(c console.Coupler, p, deep *plane) notes {
	if c.Touch == 2 {
		p = deep
	}
	read := notes{}
	for n, l := range p.own[c.Division] {
		if c.Keys.Has(n) && o.Divisions[c.Division].Notes.Has(n) {
			read[n] = l
		}
	}
	return read
}

// through adds what a coupler passes, shifted, while it is on and uncut holds.
func (o organ) through(c console.Coupler, passed notes, uncut lit, ways map[console.Note][]lit) {
	for _, k := range passed.each() {
		n := k + console.Note(c.Shift)
		ways[n] = append(ways[n], o.and(o.controls[c.Control], passed[k], uncut))
	}
}

// closed is on while any way to it is.
func (o organ) closed(ways map[console.Note][]lit) notes {
	keys := notes{}
	for n := range ways {
		keys[n] = no
	}
	for _, n := range keys.each() {
		keys[n] = o.or(ways[n]...)
	}
	return keys
}

// cut holds while a unison off of division d is on that cuts one of these.
func (o organ) cut(d int, cuts ...console.Cuts) lit {
	var any []lit
	for _, u := range o.UnisonOffs {
		if u.Division == d && slices.Contains(cuts, u.Cuts) {
			any = append(any, o.controls[u.Control])
		}
	}
	return o.or(any...)
}
