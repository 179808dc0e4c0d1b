package plain

import (
	"slices"

	"trundle/console"
)

// ownKeys is step 2: O, what own couplers read.
func (o organ) ownKeys(p, deep *plane) {
	for d, division := range o.Divisions {
		if division.Keyboard != console.None {
			for n := range p.moved[division.Keyboard] {
				p.own[d][n] = true
			}
		}
		for _, c := range o.foreignOn(d) {
			if c.Carries == console.CarriesOwn || division.Keyboard == console.None {
				for k := range o.passes(c, p, deep) {
					p.own[d][k+console.Note(c.Shift)] = true
				}
			}
		}
	}
}

// divisionLines is step 3: L, within notes(d).
func (o organ) divisionLines(p, deep *plane) {
	for d, division := range o.Divisions {
		reach := func(n console.Note) {
			if division.Notes.Has(n) {
				p.line[d][n] = true
			}
		}

		// Home.
		if h := division.Keyboard; h != console.None && !o.cut(d, console.CutsKeys, console.CutsLine, console.CutsAll) {
			for n := range p.held[h] {
				if !o.divided(h, func(split console.Note) bool { return n >= split }) {
					reach(n)
				}
			}
		}

		// Foreign.
		if !o.cut(d, console.CutsLine, console.CutsAll) {
			for _, c := range o.foreignOn(d) {
				for k := range o.passes(c, p, deep) {
					reach(k + console.Note(c.Shift))
				}
			}
		}

		// Own.
		if !o.cut(d, console.CutsAll) {
			for _, c := range o.Couplers {
				if c.Division != d || c.Keyboard != console.None || !o.on[c.Control] {
					continue
				}
				from := p
				if c.Touch == 2 {
					from = deep
				}
				for k := range from.own[d] {
					if c.Keys.Has(k) && division.Notes.Has(k) {
						reach(k + console.Note(c.Shift))
					}
				}
			}
		}
	}
}

// foreignOn is the foreign couplers to division d that are on.
func (o organ) foreignOn(d int) []console.Coupler {
	var foreign []console.Coupler
	for _, c := range o.Couplers {
		if c.Division == d && c.Keyboard != console.None && o.on[c.Control] {
			foreign = append(foreign, c)
		}
	}
	return foreign
}

// cut reports whether a unison off of division d is on that cuts one of these.
func (o organ) cut(d int, cuts ...console.Cuts) bool {
	return slices.ContainsFunc(o.UnisonOffs, func(u console.UnisonOff) bool {
		return u.Division == d && o.on[u.Control] && slices.Contains(cuts, u.Cuts)
	})
}
