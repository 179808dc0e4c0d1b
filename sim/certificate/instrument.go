package certificate

import (
	"slices"

	"trundle/console"
)

// A plane is everything that one contact under the keys leads to, by the
// letters of the definition of what sounds: P, Q, O and L. It follows
// console/plain function by function, with literals in place of truth.
type plane struct {
	held, moved, own, line []notes
}

// organ is an instrument being put into a circuit.
type organ struct {
	*console.Instrument
	*circuit
	inputs
}

// open is a literal for every valve: it is open in the instrument.
func (o organ) open() []lit {
	first, second := o.contacts()
	deep := o.plane(second, nil)
	shallow := o.plane(first, deep)
	ways := make([][]lit, o.Valves)
	for _, stop := range o.Stops {
		line := shallow.line[stop.Division]
		if stop.Touch == 2 {
			line = deep.line[stop.Division]
		}
		for _, take := range stop.Takes {
			for _, n := range line.each() {
				if v, ok := o.valve(take, n); ok && stop.Notes.Has(n) && take.Notes.Has(n) {
					ways[v] = append(ways[v], o.and(o.controls[stop.Control], line[n]))
				}
			}
		}
	}
	open := make([]lit, len(ways))
	for v, any := range ways {
		open[v] = o.or(any...)
	}
	return open
}

// valve is the valve that a take wants for a line note: step 4.
func (o organ) valve(take console.Take, n console.Note) (valve int, ok bool) {
	rank := o.Ranks[take.Rank]
	v := int(n) + take.Shift - int(rank.From) + 1
	for take.Above == console.Fold && v > rank.Pipes {
		v -= 12
	}
	for take.Below == console.Fold && v < 1 {
		v += 12
	}
	return rank.First + v - 1, 1 <= v && v <= rank.Pipes
}

// contacts is P of both planes, after the transfers.
func (o organ) contacts() (first, second []notes) {
	first, second = slices.Clone(o.first), slices.Clone(o.second)
	for _, t := range o.Transfers {
		a, b, on := t.Keyboards[0], t.Keyboards[1], o.controls[t.Control]
		for _, p := range [][]notes{first, second} {
			p[a], p[b] = o.either(on, p[b], p[a]), o.either(on, p[a], p[b])
		}
	}
	return first, second
}

// either is one set of notes while something holds, and another otherwise.
func (o organ) either(on lit, yes, otherwise notes) notes {
	chosen := notes{}
	for _, n := range yes.each() { // in order, so that gates have the same numbers every time
		chosen[n] = o.and(on, yes[n])
	}
	for _, n := range otherwise.each() {
		chosen[n] = o.or(chosen.of(n), o.and(-on, otherwise[n]))
	}
	return chosen
}

// plane is steps 1 to 3 for one contact; deep is the second contact's plane,
// nil where that is the one to resolve.
func (o organ) plane(held []notes, deep *plane) *plane {
	p := &plane{held: held}
	if deep == nil {
		deep = p
	}
	o.coupledKeys(p, deep)
	o.ownKeys(p, deep)
	o.divisionLines(p, deep)
	return p
}

// coupledKeys is step 1: the least sets Q.
func (o organ) coupledKeys(p, deep *plane) {
	const width = int(console.HighestNote) + 1
	node := func(m int, n console.Note) int { return m*width + int(n) }
	e := newEquations(len(o.Keyboards) * width)
	for m, held := range p.held {
		for n, l := range held {
			e.base[node(m, n)] = l
		}
	}
	for _, c := range o.Couplers {
		home := o.Divisions[c.Division].Keyboard
		if c.Keyboard == console.None || c.Carries != console.CarriesAll || home == console.None {
			continue
		}
		keys := c.Keys.Cut(o.Keyboards[c.Keyboard].Keys)
		for k := keys.From; k <= keys.To; k++ {
			n := k + console.Note(c.Shift)
			if !o.Keyboards[home].Keys.Has(n) {
				continue
			}
			when := o.and(o.controls[c.Control], o.kept(c.Keyboard, k))
			if to := node(home, n); c.Touch == 2 && p != deep {
				e.base[to] = o.or(e.base[to], o.and(when, deep.moved[c.Keyboard].of(k)))
			} else {
				e.add(to, term{when: when, from: node(c.Keyboard, k)})
			}
		}
	}
	solved := e.solve(o.circuit, e.groups())
	for m := range o.Keyboards {
		moved := notes{}
		for n := range console.HighestNote + 1 {
			if l := solved[node(m, n)]; l != no {
				moved[n] = l
			}
		}
		p.moved = append(p.moved, moved)
	}
}

// kept holds while no divide keeps key k of a keyboard from its couplers.
func (o organ) kept(keyboard int, k console.Note) lit {
	return -o.divides(keyboard, func(split console.Note) bool { return k < split })
}

// divides holds while a divide of a keyboard is on whose split applies.
func (o organ) divides(keyboard int, applies func(split console.Note) bool) lit {
	var any []lit
	for _, d := range o.Divides {
		if d.Keyboard == keyboard && applies(d.Split) {
			any = append(any, o.controls[d.Control])
		}
	}
	return o.or(any...)
}
