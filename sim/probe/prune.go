package probe

import (
	"slices"

	"trundle/console"
	"trundle/sim/fault"
	"trundle/sim/wiring"
)

// mayBe reports whether a mistake that concerns the pins of some things may
// account for what is wrong: if they are contacts, some are made in every chord
// that is wrong; if they are outputs, every valve that is wrong hangs on one. With a
// plug in one does: others may follow from what that leads to.
func (d *diagnosis) mayBe(items []wiring.Item) bool {
	contacts, others := word(0), false
	clear(d.moved)
	for _, item := range items {
		if c := d.base.contacts[item]; c > 0 {
			contacts |= d.contacts[c]
		} else if o := d.base.outputs[item]; o > 0 {
			d.moved[o], others = true, true
		}
	}
	if !others {
		return d.wrong&^contacts == 0
	}
	moved := func(o int) bool { return d.moved[o] }
	hangs := func(need []int) bool { return slices.ContainsFunc(need, moved) }
	if len(d.base.loop) > 0 {
		return contacts != 0 || slices.ContainsFunc(d.needs, hangs)
	}
	return contacts != 0 || !slices.ContainsFunc(d.needs, func(need []int) bool { return !hangs(need) })
}

// mayDo reports whether other rows in the place of one may account for what is
// wrong: a row that asks for the same makes no difference while that does not
// hold, nor one that reads pins while nothing is on there.
func (d *diagnosis) mayDo(e fault.Edit) bool {
	old := d.base.table[e.Row]
	if old.Kind == wiring.Read {
		read := word(0)
		for _, pin := range d.base.rows[e.Row].pins {
			read |= d.made[d.base.netOf[pin]]
		}
		return d.wrong&^read == 0
	}
	for _, s := range e.Rows {
		if !slices.Equal(s.Control, old.Control) {
			return true
		}
	}
	return d.wrong&^asked(d.base.rows[e.Row].control, d.exams[0].labels) == 0
}

// gating is what a row asks after an edit that changes nothing else; a row that
// is taken away asks what never holds.
func (d *diagnosis) gating(e fault.Edit) (control []literal, is bool) {
	if e.Row == console.None {
		return nil, false
	}
	old := d.base.table[e.Row]
	if old.Kind == wiring.Read || len(e.Rows) > 1 {
		return nil, false
	}
	if len(e.Rows) == 0 {
		return []literal{{}}, true
	}
	s := e.Rows[0]
	is = s.Line == old.Line && s.To == old.To && s.Picks == old.Picks &&
		slices.Equal(s.Notes, old.Notes) && slices.Equal(s.ToNotes, old.ToNotes) && slices.Equal(s.Pins, old.Pins)
	if is {
		for _, l := range s.Control {
			control = append(control, literal{d.base.labels[l.Label], l.Not})
		}
	}
	return control, is
}

// lets reports whether a row accounts for all answers by asking other controls.
// What it does in a chord depends on whether it lets its line through; so each
// of both is run once, and all controls are compared with them.
func (d *diagnosis) lets(row int, control []literal) bool {
	for i, e := range d.exams {
		if i == len(d.gates[row]) {
			d.gates[row] = append(d.gates[row], d.gate(row, e))
		}
		g, hold := d.gates[row][i], asked(control, e.labels)
		if (hold&^g.open|^hold&^g.shut)&e.mask() != 0 {
			return false
		}
	}
	return true
}

func (d *diagnosis) gate(at int, e *exam) gate {
	x := *d.base
	x.rows = slices.Clone(x.rows)
	good := func(control []literal) word {
		x.rows[at].control = control
		all := ^word(0)
		for v, open := range d.space.run(&x, e.contacts) {
			all &^= open ^ e.got[v]
		}
		return all
	}
	return gate{shut: good([]literal{{}}), open: good(nil)}
}
