package wiring

import (
	"cmp"
	"math"
	"slices"

	"trundle/console"
)

// lines couples keyboards and divisions: steps 1 to 3 of the definition of
// what sounds.
func (d *deriver) lines() {
	for plane := range 2 {
		d.nameCoupled(plane)
	}
	for plane := range 2 {
		d.nameOwn(plane)
	}
	for plane := range 2 {
		d.pullDown(plane)
		for i := range d.in.Divisions {
			d.gatherOwn(plane, i)
		}
		for i := range d.in.Divisions {
			d.home(plane, i)
			d.foreign(plane, i)
			d.ownCouplers(plane, i)
		}
	}
}

// nameCoupled gives a keyboard that couplers pull down a line of its own for
// what they do; the others have their keys' line.
func (d *deriver) nameCoupled(plane int) {
	d.coupled[plane] = slices.Clone(d.keys[plane])
	for _, c := range d.in.Couplers {
		k, pulls := d.pulls(c)
		if l := &d.coupled[plane][k]; pulls && l.name == d.keys[plane][k].name {
			keyboard := d.in.Keyboards[k]
			*l = line{d.unique(keyboard.ID+"-coupled", plane), union(l.notes, spread(keyboard.Keys))}
		}
	}
}

// pulls is the keyboard that a coupler pulls down, if it does.
func (d *deriver) pulls(c console.Coupler) (keyboard int, does bool) {
	home := d.in.Divisions[c.Division].Keyboard
	return max(home, 0), c.Keyboard != console.None && c.Carries == console.CarriesAll && home != console.None
}

// nameOwn gives a division whose own couplers read more than its keyboard a
// line for that; the others have their keyboard's.
func (d *deriver) nameOwn(plane int) {
	for i, division := range d.in.Divisions {
		if division.Keyboard != console.None {
			d.own[plane][i] = d.coupled[plane][division.Keyboard]
		}
		feeding := d.feeding(i)
		if len(feeding) == 0 || !d.hasOwn(i) {
			continue
		}
		notes := d.own[plane][i].notes
		for _, c := range feeding {
			notes = union(notes, shifted(d.source(plane, c).notes, c))
		}
		d.own[plane][i] = line{d.unique(division.ID+"-own", plane), within(notes, division.Notes)}
	}
}

// source is the line that a foreign coupler reads.
func (d *deriver) source(plane int, c console.Coupler) line {
	if c.Touch == 2 {
		plane = 1
	}
	return d.coupled[plane][c.Keyboard]
}

// shifted is what a coupler makes of notes.
func shifted(notes []console.Note, c console.Coupler) []console.Note {
	moved := within(notes, c.Keys)
	for i := range moved {
		moved[i] += console.Note(c.Shift)
	}
	return moved
}

// within is a copy of the notes that lie in a span.
func within(notes []console.Note, s console.Span) []console.Note {
	return slices.DeleteFunc(slices.Clone(notes), func(n console.Note) bool { return !s.Has(n) })
}

// feeding are the couplers whose notes pass a division's own couplers.
func (d *deriver) feeding(division int) []console.Coupler {
	var list []console.Coupler
	for _, c := range d.in.Couplers {
		floats := d.in.Divisions[division].Keyboard == console.None
		if c.Division == division && c.Keyboard != console.None && (floats || c.Carries == console.CarriesOwn) {
			list = append(list, c)
		}
	}
	return list
}

func (d *deriver) hasOwn(division int) bool {
	return slices.ContainsFunc(d.in.Couplers, func(c console.Coupler) bool {
		return c.Division == division && c.Keyboard == console.None
	})
}

// pullDown is step 1.
func (d *deriver) pullDown(plane int) {
	for k, l := range d.coupled[plane] {
		if keys := d.keys[plane][k]; l.name != keys.name {
			d.couple(keys, console.AllNotes, nil, 0, l)
		}
	}
	for _, c := range d.in.Couplers {
		if k, pulls := d.pulls(c); pulls {
			to := line{d.coupled[plane][k].name, spread(d.in.Keyboards[k].Keys)}
			d.pass(plane, c, d.in.Keyboards[c.Keyboard].Keys, nil, to)
		}
	}
}

// gatherOwn is step 2.
func (d *deriver) gatherOwn(plane, division int) {
	feeding := d.feeding(division)
	if len(feeding) == 0 || !d.hasOwn(division) {
		return
	}
	to := d.own[plane][division]
	if h := d.in.Divisions[division].Keyboard; h != console.None {
		d.couple(d.coupled[plane][h], console.AllNotes, nil, 0, to)
	}
	for _, c := range feeding {
		d.pass(plane, c, console.AllNotes, nil, to)
	}
}

// home puts the home keys on a division's line.
func (d *deriver) home(plane, division int) {
	h := d.in.Divisions[division].Keyboard
	if h == console.None {
		return
	}
	unless := d.unless(division, console.CutsKeys, console.CutsLine, console.CutsAll)
	divides := d.divides(h)
	for i := range len(divides) + 1 {
		zone := zoneOf(divides, i)
		by := slices.Clone(unless)
		for _, kept := range divides[:i] {
			by = append(by, d.not(kept.Control)...)
		}
		d.couple(d.keys[plane][h], zone, by, 0, d.division[plane][division])
	}
}

// foreign puts the notes of couplers from other keyboards on a division's line.
func (d *deriver) foreign(plane, division int) {
	unless := d.unless(division, console.CutsLine, console.CutsAll)
	for _, c := range d.in.Couplers {
		if c.Division == division && c.Keyboard != console.None {
			d.pass(plane, c, console.AllNotes, unless, d.division[plane][division])
		}
	}
}

// ownCouplers puts the notes of a division's own couplers on its line.
func (d *deriver) ownCouplers(plane, division int) {
	unless := d.unless(division, console.CutsAll)
	for _, c := range d.in.Couplers {
		if c.Division == division && c.Keyboard == console.None {
			from := d.own[plane][division]
			if c.Touch == 2 {
				from = d.own[1][division]
			}
			d.couple(from, c.Keys.Cut(d.in.Divisions[division].Notes), append(d.is(c.Control), unless...), c.Shift, d.division[plane][division])
		}
	}
}

// unless is a literal !x for every unison off x of a division that cuts one of these.
func (d *deriver) unless(division int, cuts ...console.Cuts) []Literal {
	var by []Literal
	for _, u := range d.in.UnisonOffs {
		if u.Division == division && slices.Contains(cuts, u.Cuts) {
			by = append(by, d.not(u.Control)...)
		}
	}
	return by
}

// divides are the divides of a keyboard, by their splits.
func (d *deriver) divides(keyboard int) []console.Divide {
	var list []console.Divide
	for _, divide := range d.in.Divides {
		if divide.Keyboard == keyboard {
			list = append(list, divide)
		}
	}
	slices.SortStableFunc(list, func(a, b console.Divide) int { return cmp.Compare(a.Split, b.Split) })
	return list
}

// zoneOf is the notes from split i-1 up and below split i of sorted divides.
func zoneOf(divides []console.Divide, i int) console.Span {
	zone := console.Span{From: math.MinInt16, To: math.MaxInt16}
	if i > 0 {
		zone.From = divides[i-1].Split
	}
	if i < len(divides) {
		zone.To = divides[i].Split - 1
	}
	return zone
}

// pass adds the rows of a foreign coupler to a line. A divide that is on keeps
// the keys below its split from it.
func (d *deriver) pass(plane int, c console.Coupler, keys console.Span, unless []Literal, to line) {
	from := d.source(plane, c)
	keys = keys.Cut(c.Keys)
	divides := d.divides(c.Keyboard)
	for i := range len(divides) + 1 {
		by := append(d.is(c.Control), unless...)
		zone := zoneOf(divides, i)
		for _, above := range divides[i:] {
			by = append(by, d.not(above.Control)...)
		}
		if c.Picks == console.PicksAll {
			d.couple(from, keys.Cut(zone), by, c.Shift, to)
			continue
		}
		// It picks from all keys that no divide keeps, so a row is needed for
		// each divide as the highest that is on.
		if i > 0 {
			by = append(by, d.is(divides[i-1].Control)...)
		}
		d.pick(from, keys.Cut(console.Span{From: zone.From, To: math.MaxInt16}), by, c, to)
	}
}

// pick adds the row of a coupler that picks a key. The row holds every key it
// picks from, also those that land where the division has no note.
func (d *deriver) pick(from line, keys console.Span, by []Literal, c console.Coupler, to line) {
	row := Switch{Kind: Couple, Line: from.name, Control: by, To: to.name, Picks: c.Picks}
	inside, writable := false, true
	for _, n := range within(from.notes, keys) {
		m := n + console.Note(c.Shift)
		_, has := slices.BinarySearch(to.notes, m)
		inside = inside || has
		writable = writable && console.AllNotes.Has(m)
		row.Notes = append(row.Notes, n)
		row.ToNotes = append(row.ToNotes, m)
	}
	if !inside {
		return
	}
	if writable {
		d.add(row)
		return
	}
	// No file can name such a note: pick first, then shift.
	picked := line{d.unique(c.ID, 0), row.Notes}
	row.To, row.ToNotes = picked.name, row.Notes
	d.add(row)
	d.couple(picked, console.AllNotes, nil, c.Shift, to)
}
