package fault

import (
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// Edit is what a mistake changes in the tables of a relay.
type Edit struct {
	Moved  []Move          // places of rows that get another pin, or none
	Hung   []wiring.Row    // rows that the wiring has besides
	Stuck  []wiring.Row    // whose pins are on whatever is held and drawn
	Row    int             // of the switching, which Rows replace; None for no row
	Rows   []wiring.Switch // none to take it away
	Boards []int           // two that are exchanged, each with all that is plugged into it
}

// Move is a place of a row, and the pin that it gets: of a wiring row, of the
// far end of a join, or of a switching row.
type Move struct {
	In      Table
	Row, At int
	Pin     wiring.Terminal
}

// nowhere is the pin of what hangs on none.
var nowhere = wiring.Terminal{On: console.None}

// Gone reports whether the place is lost.
func (m Move) Gone() bool { return m.Pin.On == console.None }

func moving(moves []Move) Edit { return Edit{Moved: moves, Row: console.None} }

// Make is a relay with the mistake; the relay itself stays as it is.
func (e Edit) Make(r *wiring.Relay) *wiring.Relay {
	c := *r
	if len(e.Moved) > 0 {
		switch e.Moved[0].In {
		case Soldered:
			c.Wired = e.soldered(r.Soldered())
		case Joined:
			c.Joins = e.joined(r.Joins)
		default:
			c.Switch = e.switched(r.Switch)
		}
	}
	if len(e.Hung) > 0 {
		c.Wired = slices.Concat(r.Soldered(), e.Hung)
	}
	for _, row := range e.Stuck {
		c.Stuck = append(slices.Clip(c.Stuck), row.Pins...)
	}
	if e.Row != console.None {
		c.Switch = slices.Concat(r.Switch[:e.Row], e.Rows, r.Switch[e.Row+1:])
	}
	if len(e.Boards) == 2 {
		e.exchange(&c)
	}
	return &c
}

// place is a place in a row of a table.
type place struct{ row, at int }

// pins are the pins of a row after the edit, and what is left of another list
// of the same row.
func (e Edit) pins(row int, pins []wiring.Terminal) (moved []wiring.Terminal, left func(at int) bool) {
	to := map[int]Move{}
	for _, m := range e.Moved {
		if m.Row == row {
			to[m.At] = m
		}
	}
	for at, pin := range pins {
		m, moves := to[at]
		if moves {
			pin = m.Pin
		}
		if !moves || !m.Gone() {
			moved = append(moved, pin)
		}
	}
	return moved, func(at int) bool { m, moves := to[at]; return !moves || !m.Gone() }
}

// touches are the rows that the edit moves places of.
func (e Edit) touches() map[int]bool {
	rows := map[int]bool{}
	for _, m := range e.Moved {
		rows[m.Row] = true
	}
	return rows
}

func (e Edit) soldered(rows []wiring.Row) []wiring.Row {
	list := make([]wiring.Row, 0, len(rows)) // not nil, which would be the plan
	touched := e.touches()
	for i, row := range rows {
		if touched[i] {
			pins, left := e.pins(i, row.Pins)
			if len(pins) == 0 {
				continue
			}
			row.Pins, row.Items, row.Wires = pins, kept(row.Items, left), kept(row.Wires, left)
		}
		list = append(list, row)
	}
	return list
}

func (e Edit) joined(joins []wiring.Join) []wiring.Join {
	joins = slices.Clone(joins)
	for i := range e.touches() {
		j := &joins[i]
		pins, left := e.pins(i, j.To)
		j.From, j.Wires, j.To = kept(j.From, left), kept(j.Wires, left), pins
	}
	return joins
}

func (e Edit) switched(rows []wiring.Switch) []wiring.Switch {
	var list []wiring.Switch
	touched := e.touches()
	for i, s := range rows {
		if touched[i] {
			pins, left := e.pins(i, s.Pins)
			s.Notes, s.Pins = kept(s.Notes, left), pins
		}
		if s.Len() > 0 {
			list = append(list, s)
		}
	}
	return list
}

// kept is a list of a row less the places that are lost.
func kept[T any](list []T, left func(at int) bool) []T {
	if list == nil {
		return nil
	}
	var some []T
	for at, t := range list {
		if left(at) {
			some = append(some, t)
		}
	}
	return some
}

// exchange plugs what is plugged into one board into the other.
func (e Edit) exchange(r *wiring.Relay) {
	r.Wired, r.Joins = slices.Clone(r.Soldered()), slices.Clone(r.Joins)
	for i := range r.Wired {
		r.Wired[i].Pins = e.Crossed(r.Wired[i].Pins)
	}
	for i := range r.Joins {
		r.Joins[i].From = e.Crossed(r.Joins[i].From)
	}
}

// Crossed are pins, each on the other of two boards that are exchanged.
func (e Edit) Crossed(pins []wiring.Terminal) []wiring.Terminal {
	pins = slices.Clone(pins)
	for i := range pins {
		switch pins[i].On {
		case e.Boards[0]:
			pins[i].On = e.Boards[1]
		case e.Boards[1]:
			pins[i].On = e.Boards[0]
		}
	}
	return pins
}
