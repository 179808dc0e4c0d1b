package equation

import (
	"slices"

	"trundle/console"
	"trundle/sim/logic"
)

// couple adds to the planes what couplers do: steps 1 to 3 of the
// definition, one step after the other, for what a step reads must have its nodes.
func (in *Instrument) couple(planes []*Plane) {
	for _, p := range planes {
		for _, c := range in.Couplers {
			home := in.Divisions[c.Division].Keyboard
			if c.Keyboard != console.None && c.Carries == console.CarriesAll && home != console.None {
				in.carry(c, in.seen(c, p), p, home)
			}
		}
	}
	read := make([][]*Notes, len(planes)) // what each foreign coupler passes, before its shift
	for i, p := range planes {
		read[i] = make([]*Notes, len(in.Couplers))
		for j, c := range in.Couplers {
			if c.Keyboard != console.None {
				passed := in.picked(c, in.seen(c, p))
				read[i][j] = &passed
			}
		}
		for d := range in.Divisions {
			in.ownKeys(p, d, read[i])
		}
	}
	for i, p := range planes {
		for d := range in.Divisions {
			in.line(p, d, read[i])
		}
	}
}

// source is the plane that a coupler reads.
func (in *Instrument) source(c console.Coupler, p *Plane) *Plane {
	if c.Touch == 2 {
		return in.Second
	}
	return p
}

// carry is step 1: keys of another keyboard pulled down.
func (in *Instrument) carry(c console.Coupler, seen Notes, p *Plane, home int) {
	keys := c.Keys.Cut(in.Keyboards[c.Keyboard].Keys)
	for k := keys.From; k <= keys.To; k++ {
		n := k + console.Note(c.Shift)
		if in.Keyboards[home].Keys.Has(n) && seen[k] != Nothing {
			in.or(&p.Moved[home], n, []logic.Node{in.Control(c.Control), seen[k]}, nil)
		}
	}
}

// seen is the keys of a foreign coupler's keyboard that no divide keeps from it.
func (in *Instrument) seen(c console.Coupler, p *Plane) Notes {
	seen := in.source(c, p).Moved[c.Keyboard]
	for n, node := range seen {
		if !c.Keys.Has(console.Note(n)) {
			seen[n] = Nothing
			continue
		}
		var kept []logic.Node
		for _, d := range in.Divides {
			if d.Keyboard == c.Keyboard && console.Note(n) < d.Split {
				kept = append(kept, in.Control(d.Control))
			}
		}
		if node != Nothing && kept != nil {
			seen[n] = Nothing
			in.or(&seen, console.Note(n), []logic.Node{node}, kept)
		}
	}
	return seen
}

// picked is the keys that a coupler passes of those it sees: all, or the one
// before which no other comes.
func (in *Instrument) picked(c console.Coupler, seen Notes) Notes {
	if c.Picks == console.PicksAll {
		return seen
	}
	var order []console.Note
	for n, node := range seen {
		if node != Nothing {
			order = append(order, console.Note(n))
		}
	}
	if c.Picks == console.PicksHighest {
		slices.Reverse(order)
	}
	result := noNotes()
	var before []logic.Node
	for _, n := range order {
		in.or(&result, n, []logic.Node{seen[n]}, before)
		before = append(before, seen[n])
	}
	return result
}

// ownKeys is step 2: what a division's own couplers read.
func (in *Instrument) ownKeys(p *Plane, d int, read []*Notes) {
	home := in.Divisions[d].Keyboard
	if home != console.None {
		for n, node := range p.Moved[home] {
			if node != Nothing {
				in.or(&p.Own[d], console.Note(n), []logic.Node{node}, nil)
			}
		}
	}
	for i, c := range in.Couplers {
		if c.Division == d && read[i] != nil && (c.Carries == console.CarriesOwn || home == console.None) {
			in.pass(c, read[i], &p.Own[d], nil)
		}
	}
}

// line is step 3: what the division's stops are played by.
func (in *Instrument) line(p *Plane, d int, read []*Notes) {
	division := in.Divisions[d]
	cut := func(by ...console.Cuts) (off []logic.Node) {
		for _, u := range in.UnisonOffs {
			if u.Division == d && slices.Contains(by, u.Cuts) {
				off = append(off, in.Control(u.Control))
			}
		}
		return off
	}
	line := noNotes()
	if division.Keyboard != console.None {
		for n, node := range p.Held[division.Keyboard] {
			if node == Nothing {
				continue
			}
			none := cut(console.CutsKeys, console.CutsLine, console.CutsAll)
			for _, at := range in.Divides {
				if at.Keyboard == division.Keyboard && console.Note(n) >= at.Split {
					none = append(none, in.Control(at.Control))
				}
			}
			in.or(&line, console.Note(n), []logic.Node{node}, none)
		}
	}
	for i, c := range in.Couplers {
		switch {
		case c.Division != d:
		case read[i] != nil:
			in.pass(c, read[i], &line, cut(console.CutsLine, console.CutsAll))
		default:
			own := in.source(c, p).Own[d]
			for n := range own {
				if !c.Keys.Cut(division.Notes).Has(console.Note(n)) {
					own[n] = Nothing
				}
			}
			in.pass(c, &own, &line, cut(console.CutsAll))
		}
	}
	for n := range line {
		if !division.Notes.Has(console.Note(n)) {
			line[n] = Nothing
		}
	}
	p.Line[d] = line
}

// pass adds what a coupler passes, shifted, while it is on and nothing of none is.
func (in *Instrument) pass(c console.Coupler, from, to *Notes, none []logic.Node) {
	for n, node := range from {
		if node != Nothing {
			in.or(to, console.Note(n+c.Shift), []logic.Node{in.Control(c.Control), node}, none)
		}
	}
}
