package cause

import (
	"fmt"
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// tableSlips guesses that a hand slipped in one cell of one row of the
// switching, or gave two rows each other's pins. Only what mends all is kept.
func (g *guesser) tableSlips() {
	if g.in.Valves > large || g.r.Derived {
		return
	}
	t := tableSlips{g: g, free: g.unused(wiring.Read), idle: g.unused(wiring.Drive)}
	for i, s := range g.r.Switch {
		if s.Len() == 0 {
			continue
		}
		if s.Kind != wiring.Couple {
			t.onOtherPins(i, s)
		}
		t.ofOtherNotes(i, s)
		t.byOtherNames(i, s)
	}
	t.exchanged()
}

// tableSlips makes guesses at rows of the switching.
type tableSlips struct {
	g    *guesser
	free []wiring.Terminal // pins that a row should read and none does
	idle []wiring.Terminal // pins that a row should drive and none does
}

// keep keeps a guess at a row when it mends all.
func (t tableSlips) keep(rule string, i int, other wiring.Switch, says string) {
	g := t.g
	o := g.switched(i, other)
	if x := (guess{rule: rule, cure: replaced(i, g.r.Switch[i], other), row: i, size: 1, says: says, left: o.left, gone: o.gone, more: o.fresh}); x.whole() {
		g.guesses = append(g.guesses, x)
	}
}

// furthest is by how many places a run is thought to be written wrong.
const furthest = 24

// onOtherPins guesses at the pins of a row: some pins higher or lower, at the
// same pins of another board, where pins are left that nothing uses, or the
// other way round.
func (t tableSlips) onOtherPins(i int, s wiring.Switch) {
	g := t.g
	first, direction, wrongWay := s.Pins[0], wiring.Output, "drives-input"
	if s.Kind == wiring.Read {
		direction, wrongWay = wiring.Input, "reads-output"
	}
	shape := shapeOf(s)
	tried := map[wiring.Terminal]bool{first: len(shape) == len(s.Pins)}
	from := func(start wiring.Terminal) {
		if tried[start] || start.On >= len(g.r.Boards) || g.r.Boards[start.On].Direction != direction {
			return
		}
		tried[start] = true
		other := s
		other.Pins = make([]wiring.Terminal, len(shape))
		for k, pin := range shape {
			to := wiring.Terminal{On: start.On, Pin: pin - first.Pin + start.Pin}
			if other.Pins[k] = to; to.Pin < 1 || to.Pin > pinsOn(g.r, to.On) {
				return
			}
		}
		rule := "run-shifted"
		switch by := first.Pin - start.Pin; {
		case first.On < len(g.r.Boards) && g.r.Boards[first.On].Direction != direction:
			rule = wrongWay
		case slices.ContainsFunc(s.Pins, func(t wiring.Terminal) bool { return t.Pin > pinsOn(g.r, t.On) }):
			rule = "pin-off-board"
		case len(shape) != len(s.Pins):
			rule = "ranges-differ"
		case start.On != first.On:
			rule = "pins-mixed"
		case by == 12 || by == -12:
			rule = "octave-off"
		}
		t.keep(rule, i, other, t.pinsSaid(s, other))
	}
	from(first)
	if len(shape) > 1 {
		for by := 1; by <= furthest; by++ {
			from(wiring.Terminal{On: first.On, Pin: first.Pin - by})
			from(wiring.Terminal{On: first.On, Pin: first.Pin + by})
		}
	}
	for on := range g.r.Boards {
		from(wiring.Terminal{On: on, Pin: first.Pin})
	}
	left := t.idle
	if s.Kind == wiring.Read {
		left = t.free
	}
	for _, pin := range left {
		from(pin)
		from(wiring.Terminal{On: pin.On, Pin: pin.Pin - (shape[len(shape)-1] - first.Pin)})
	}
	if len(s.Pins) > 2 && s.Line != "" {
		other := s
		other.Pins = slices.Clone(s.Pins)
		slices.Reverse(other.Pins)
		t.keep("order-reversed", i, other, t.row(s)+" has its pins the other way round")
	}
}

// shapeOf are the numbers of the pins of a row, or of as many in a run as it has
// notes.
func shapeOf(s wiring.Switch) (numbers []int) {
	for _, pin := range s.Pins {
		numbers = append(numbers, pin.Pin)
	}
	if s.Line == "" || len(numbers) == len(s.Notes) {
		return numbers
	}
	numbers = numbers[:1]
	for k := range len(s.Notes) - 1 {
		numbers = append(numbers, numbers[k]+1)
	}
	return numbers
}

// pinsSaid says what is wrong with the pins of a row that should have others.
func (t tableSlips) pinsSaid(s, other wiring.Switch) string {
	verb, passive := "drives", "drives"
	if s.Kind == wiring.Read {
		verb, passive = "reads", "reads"
	}
	is, belongs := s.Pins[0], other.Pins[0]
	if len(s.Pins) != len(other.Pins) {
		return fmt.Sprintf("%s has %d pins for %d notes", t.row(s), len(s.Pins), len(s.Notes))
	}
	if is.On == belongs.On && len(s.Pins) > 1 {
		return t.row(s) + " has its pins " + placesOff(is.Pin-belongs.Pin)
	}
	left := t.idle
	if s.Kind == wiring.Read {
		left = t.free
	}
	if slices.Contains(left, belongs) {
		return fmt.Sprintf("%s %s %s, and nothing %s %s", t.row(s), verb, pinWords(t.g.r, s.Pins), passive, pinWords(t.g.r, other.Pins))
	}
	return fmt.Sprintf("%s %s %s, where %s is meant", t.row(s), verb, pinWords(t.g.r, s.Pins), pinWords(t.g.r, other.Pins))
}

// row is a row as the table writes it.
func (t tableSlips) row(s wiring.Switch) string {
	return "the row " + paper{t.g.in, t.g.r}.switchText(s)
}

// placesOff says by how many places a run is written too high.
func placesOff(by int) string {
	which := "high"
	if by < 0 {
		by, which = -by, "low"
	}
	if by == 1 {
		return "one too " + which
	}
	return fmt.Sprintf("%d too %s", by, which)
}

// ofOtherNotes guesses at the notes of a row, and those to which it leads: some
// too high or low, or the other way round.
func (t tableSlips) ofOtherNotes(i int, s wiring.Switch) {
	if s.Line == "" {
		return
	}
	for _, to := range []bool{false, true} {
		notes, which, many := s.Notes, "notes", len(s.Pins)
		if s.Kind == wiring.Couple {
			many = len(s.ToNotes)
		}
		if to {
			notes, which, many = s.ToNotes, "notes that it leads to", len(s.Notes)
		}
		put := func(notes []console.Note) wiring.Switch {
			other := s
			if other.Notes = notes; to {
				other.Notes, other.ToNotes = s.Notes, notes
			}
			return other
		}
		if to && s.Kind != wiring.Couple {
			break
		}
		for by := -furthest; by <= furthest; by++ {
			moved := slices.Clone(notes)
			if len(notes) != many {
				moved = make([]console.Note, many)
				for k := range moved {
					moved[k] = notes[0] + console.Note(k)
				}
			}
			for k := range moved {
				moved[k] -= console.Note(by)
			}
			if by == 0 && len(notes) == many || slices.ContainsFunc(moved, func(n console.Note) bool { return !console.AllNotes.Has(n) }) {
				continue
			}
			rule, says := "run-shifted", fmt.Sprintf("%s has the %s %s", t.row(s), which, semitones(by))
			switch {
			case len(notes) != many:
				rule, says = "ranges-differ", fmt.Sprintf("%s has %d notes for %d", t.row(s), len(notes), many)
			case s.Kind == wiring.Couple:
				rule = "wrong-shift"
			case by == 12 || by == -12:
				rule = "octave-off"
			}
			t.keep(rule, i, put(moved), says)
		}
		if len(notes) > 2 {
			turned := slices.Clone(notes)
			slices.Reverse(turned)
			t.keep("order-reversed", i, put(turned), fmt.Sprintf("%s has the %s the other way round", t.row(s), which))
		}
	}
}

// semitones says by how much notes are too high.
func semitones(by int) string {
	which := "high"
	if by < 0 {
		by, which = -by, "low"
	}
	switch by {
	case 1:
		return "a semitone too " + which
	case 12:
		return "an octave too " + which
	case 24:
		return "two octaves too " + which
	}
	return fmt.Sprintf("%d semitones too %s", by, which)
}

// byOtherNames guesses that a line or a control of a row has another name.
func (t tableSlips) byOtherNames(i int, s wiring.Switch) {
	g := t.g
	set := map[string]bool{} // names of controls, and of lines with a slash before them
	for _, row := range g.r.Switch {
		switch {
		case row.Kind == wiring.Couple:
			set["/"+row.To] = true
		case row.Kind == wiring.Read && row.Line != "":
			set["/"+row.Line] = true
		case row.Kind == wiring.Read:
			set[row.Control[0].Label] = true
		}
	}
	for _, line := range g.lines() {
		if line == s.Line || line == s.To {
			continue
		}
		other := s
		if other.Line = line; s.Line != "" {
			rule := "wrong-keyboard"
			if !set["/"+s.Line] {
				rule = "label-not-read"
			}
			t.keep(rule, i, other, t.named(i, s, s.Line, line))
		}
		other = s
		if other.To = line; s.To != "" {
			t.keep("wrong-division", i, other, t.named(i, s, s.To, line))
		}
	}
	for k, l := range s.Control {
		for _, label := range g.labels {
			if !slices.ContainsFunc(s.Control, func(l wiring.Literal) bool { return l.Label == label }) {
				other := s
				other.Control = slices.Clone(s.Control)
				other.Control[k].Label = label
				rule := "wrong-control"
				if !set[l.Label] || s.Kind == wiring.Read && t.only(i, l.Label) {
					rule = "label-not-read"
				}
				t.keep(rule, i, other, t.named(i, s, l.Label, label))
			}
		}
	}
}

// named says that a row should have another name than it has.
func (t tableSlips) named(i int, s wiring.Switch, is, meant string) string {
	if t.only(i, is) {
		return fmt.Sprintf("%s says %s, which no other row does, where %s is meant", t.row(s), is, meant)
	}
	return fmt.Sprintf("%s says %s where %s is meant", t.row(s), is, meant)
}

// only reports whether a name stands in one row only.
func (t tableSlips) only(i int, name string) bool {
	return !slices.ContainsFunc(slices.Concat(t.g.r.Switch[:i], t.g.r.Switch[i+1:]), func(s wiring.Switch) bool {
		return s.Line == name || s.To == name || slices.ContainsFunc(s.Control, func(l wiring.Literal) bool { return l.Label == name })
	})
}

// exchanged guesses that two rows have each other's pins.
func (t tableSlips) exchanged() {
	g := t.g
	const many = 160 // rows
	if len(g.r.Switch) > many {
		return
	}
	astray := make([]bool, len(g.r.Switch)) // what makes something wrong
	for i := range g.r.Switch {
		astray[i] = g.switched(i).gone > 0
	}
	for j, b := range g.r.Switch {
		for i, a := range g.r.Switch[:j] {
			if !astray[i] || !astray[j] || a.Kind != b.Kind || a.Kind == wiring.Couple || len(a.Pins) != len(b.Pins) || slices.Equal(a.Pins, b.Pins) || a.Line == "" != (b.Line == "") {
				continue
			}
			c, d := a, b
			c.Pins, d.Pins = b.Pins, a.Pins
			list := slices.Clone(g.rows)
			fresh := steps([]wiring.Switch{c, d}, g.w.nets, g.names)
			list[i], list[j] = fresh[0], fresh[1]
			o := g.again(list)
			x := guess{rule: "pins-swapped", cure: replaced(i, a, c).and(replaced(j, b, d)), row: i, size: 2, left: o.left, gone: o.gone, more: o.fresh,
				says: fmt.Sprintf("%s and the row %s have each other's pins", t.row(a), paper{g.in, g.r}.switchText(b))}
			if x.whole() {
				g.guesses = append(g.guesses, x)
			}
		}
	}
}
