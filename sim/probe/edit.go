package probe

import (
	"slices"

	"trundle/console"
	"trundle/sim/fault"
	"trundle/sim/wiring"
)

// with is the relay with a mistake. It shares with the relay what the mistake
// leaves alone, and numbers alike.
func (x *Running) with(e fault.Edit) *Running {
	y := *x
	switch {
	case len(e.Hung) > 0:
		y.made, y.hung, y.at = slices.Clip(x.made), slices.Clip(x.hung), slices.Clip(x.at)
		for _, row := range e.Hung {
			y.hang(row)
		}
	case e.Row != console.None:
		y.replace(e.Row, e.Rows)
	case len(e.Moved) > 0 && e.Moved[0].In == fault.Soldered:
		y.made, y.hung = slices.Clone(x.made), slices.Clone(x.hung)
		for _, m := range e.Moved {
			y.rehang(m)
		}
	case len(e.Moved) > 0 && e.Moved[0].In == fault.Switching:
		y.rows = slices.Clone(x.rows)
		for _, m := range e.Moved {
			y.repin(m, &x.rows[m.Row])
		}
	default:
		y.wire(e.Make(x.relay))
	}
	return &y
}

func (x *Running) rehang(m fault.Move) {
	if m.At >= len(x.at[m.Row]) {
		return
	}
	switch p := x.at[m.Row][m.At]; {
	case p.at < 0:
	case p.output:
		x.hung[p.at].terminal = x.cable(m.Pin)
	default:
		x.made[p.at].terminal = x.cable(m.Pin)
	}
}

// repin gives a place of a row another pin; old is the row before any move.
func (x *Running) repin(m fault.Move, old *row) {
	r := &x.rows[m.Row]
	if m.At >= len(r.pins) {
		return
	}
	if &r.pins[0] == &old.pins[0] {
		r.pins = slices.Clone(r.pins)
	}
	if r.pins[m.At] = 0; !m.Gone() && (r.kind != wiring.Drive || x.relay.Drives(m.Pin)) {
		r.pins[m.At] = x.terminal(m.Pin)
	}
}

// replace puts rows in the place of one.
func (x *Running) replace(at int, by []wiring.Switch) {
	var rows []row
	for _, s := range by {
		rows = append(rows, x.compile(s))
	}
	x.rows = slices.Concat(x.rows[:at], rows, x.rows[at+1:])
	x.table = slices.Concat(x.table[:at], by, x.table[at+1:])
	x.picks = wiring.PickOrder(x.table)
}
