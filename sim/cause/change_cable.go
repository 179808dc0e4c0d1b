package cause

import (
	"slices"
	"strings"

	"trundle/sim/wiring"
)

// inCable is a new row in the cable of the rows beside it on its board, on the
// wires that follow theirs; as it is where they follow no sequence, or where
// those wires are not free.
func (p paper) inCable(row wiring.Row) wiring.Row {
	if row.Cable != "" || len(row.Pins) == 0 || row.Kind == wiring.SpareKind || p.uncabled(row.Pins[0]) {
		return row
	}
	cable, ahead, known := p.cableBeside(row)
	if !known {
		cable, ahead, known = p.cableOfBoard(row.Pins[0].On)
	}
	if !known {
		return row
	}
	most := 0
	for _, c := range p.r.Cables {
		if c.ID == cable {
			most = c.Wires
		}
	}
	var wires []int
	for _, t := range row.Pins {
		wire := t.Pin + ahead
		if wire < 1 || most > 0 && wire > most || p.inUse(cable, wire) {
			return row
		}
		wires = append(wires, wire)
	}
	row.Cable, row.Wires = cable, wires
	return row
}

// uncabled reports whether something hangs on a pin by no cable.
func (p paper) uncabled(pin wiring.Terminal) bool {
	return slices.ContainsFunc(p.r.Soldered(), func(row wiring.Row) bool {
		return row.Cable == "" && row.Kind != wiring.SpareKind && slices.Contains(row.Pins, pin)
	})
}

// onOwnWires is a change of a plan in which pins keep their wires, and not things,
// if that is written with less, or in as much and whole rows are exchanged: then
// it is what they say that has been taken for one another.
func (p paper) onOwnWires(c change) change {
	if len(c.unhang)+len(c.hang) == 0 {
		return c
	}
	rows := p.r.Soldered()
	was := map[wiring.Terminal]element{}
	whole := true
	for i, row := range rows {
		keep, touched := kept(c.unhang, i, len(row.Pins))
		whole = whole && (!touched || len(keep) == 0)
		for at, t := range row.Pins {
			if c.unhang[element{i, at}] {
				was[t] = element{i, at}
			}
		}
	}
	other := c
	other.hang = oneByOne(c.hang)
	for i := range other.hang {
		row := &other.hang[i]
		e, known := was[row.Pins[0]]
		if !known || p.r.Wired != nil {
			return c
		}
		row.Cable, row.Wires = rows[e.row].Cable, pick(rows[e.row].Wires, []int{e.at})
	}
	other.hang = hangInRuns(other.hang)
	if less := p.effort(other) - p.effort(c); less < 0 || less == 0 && whole {
		return other
	}
	return c
}

// cabled is a change of a plan with the cables and wires that go with it.
func (p paper) cabled(c change) change { return p.alongPins(p.onOwnWires(c)) }

// alongPins is a change in which a row that moves to other pins of its board
// takes other wires, as far on as the pins: where its wires follow its pins as
// those of the other rows do, both have been written wrong in one go.
func (p paper) alongPins(c change) change {
	if p.r.Wired != nil { // there the wires are what was soldered
		return c
	}
	rows := p.r.Soldered()
	hung := map[wiring.Item]element{}
	for i, row := range rows {
		for at := range min(len(row.Pins), len(row.Items), len(row.Wires)) {
			if e := (element{i, at}); c.unhang[e] {
				hung[row.Items[at]] = e
			}
		}
	}
	along := c
	along.hang = slices.Clone(c.hang)
	for i, row := range c.hang {
		if row.Cable == "" || len(row.Wires) != len(row.Pins) || len(row.Items) != len(row.Pins) {
			continue
		}
		ahead := 0
		follows := func(at int) bool {
			e, known := hung[row.Items[at]]
			if !known {
				return false
			}
			old := rows[e.row]
			by := old.Wires[e.at] - old.Pins[e.at].Pin
			if at == 0 {
				ahead = by
			}
			return by == ahead && old.Cable == row.Cable && old.Wires[e.at] == row.Wires[at] && old.Pins[e.at].On == row.Pins[at].On
		}
		wires := make([]int, len(row.Pins))
		moved := true
		for at, t := range row.Pins {
			if moved = moved && follows(at); moved {
				wires[at] = t.Pin + ahead
			}
		}
		if moved && p.goWith(c, row, ahead) && p.areFree(c, row.Cable, wires) {
			along.hang[i].Wires = wires
		}
	}
	return along
}

// goWith reports whether the wires of all other rows that a board has in a cable
// are so many ahead of their pins; of none, whether they are the pins' own numbers.
func (p paper) goWith(c change, row wiring.Row, ahead int) bool {
	others := false
	for i, other := range p.r.Soldered() {
		for at := range min(len(other.Pins), len(other.Wires)) {
			if c.unhang[element{i, at}] || other.Cable != row.Cable || other.Pins[at].On != row.Pins[0].On {
				continue
			}
			if others = true; other.Wires[at]-other.Pins[at].Pin != ahead {
				return false
			}
		}
	}
	return others || ahead == 0
}

// areFree reports whether a cable has wires that nothing is on but what a change
// takes off.
func (p paper) areFree(c change, cable string, wires []int) bool {
	left := with(p.r, change{unhang: c.unhang, unjoin: c.unjoin})
	for _, k := range p.r.Cables {
		if k.ID == cable && slices.ContainsFunc(wires, func(w int) bool { return w > k.Wires }) {
			return false
		}
	}
	return !slices.ContainsFunc(wires, func(w int) bool { return w < 1 || paper{p.in, left}.inUse(cable, w) })
}

// lacksCable reports whether a change has a new row whose cable is not known,
// though rows like it have one.
func (p paper) lacksCable(c change) bool {
	return slices.ContainsFunc(c.hang, func(row wiring.Row) bool {
		if row = p.inCable(p.asPlanned(row)); row.Cable != "" || row.Kind == wiring.SpareKind {
			return false
		}
		here, cabledHere, cabled := false, false, false
		for _, other := range p.r.Soldered() {
			if len(other.Pins) == 0 || other.Kind == wiring.SpareKind {
				continue
			}
			cabled = cabled || other.Cable != ""
			if other.Pins[0].On == row.Pins[0].On {
				here, cabledHere = true, cabledHere || other.Cable != ""
			}
		}
		return cabledHere || !here && cabled
	})
}

// cableBeside is the cable of the nearest rows of the board on either side, and
// by how much its wires are ahead of the pins; not known where they disagree.
func (p paper) cableBeside(row wiring.Row) (cable string, ahead int, known bool) {
	on, first, last := row.Pins[0].On, row.Pins[0].Pin, row.Pins[len(row.Pins)-1].Pin
	below, above := 0, 0
	agree := true
	use := func(c string, by int) {
		agree = agree && (!known || c == cable && by == ahead)
		cable, ahead, known = c, by, true
	}
	var at [2]func()
	for _, other := range p.r.Soldered() {
		if other.Cable == "" || len(other.Wires) != len(other.Pins) {
			continue
		}
		for i, t := range other.Pins {
			switch {
			case t.On != on:
			case t.Pin < first && t.Pin > below:
				below, at[0] = t.Pin, func() { use(other.Cable, other.Wires[i]-t.Pin) }
			case t.Pin > last && (above == 0 || t.Pin < above):
				above, at[1] = t.Pin, func() { use(other.Cable, other.Wires[i]-t.Pin) }
			}
		}
	}
	for _, use := range at {
		if use != nil {
			use()
		}
	}
	return cable, ahead, known && agree
}

// cableOfBoard is the cable that is called after a board as those of all other
// boards are, pin for wire.
func (p paper) cableOfBoard(on int) (cable string, ahead int, known bool) {
	for _, row := range p.r.Soldered() {
		if row.Cable == "" || len(row.Pins) == 0 || len(row.Wires) != len(row.Pins) {
			continue
		}
		before, after, named := strings.Cut(row.Cable, p.r.Board(row.Pins[0].On))
		called := before + p.r.Board(on) + after
		if !named || row.Wires[0] != row.Pins[0].Pin || known && called != cable {
			return "", 0, false
		}
		cable, known = called, true
	}
	is := slices.ContainsFunc(p.r.Cables, func(c wiring.Cable) bool { return c.ID == cable })
	return cable, 0, known && is
}

func (p paper) inUse(cable string, wire int) bool {
	return slices.ContainsFunc(p.r.Soldered(), func(row wiring.Row) bool { return row.Cable == cable && slices.Contains(row.Wires, wire) }) ||
		slices.ContainsFunc(p.r.Joins, func(j wiring.Join) bool { return j.Cable == cable && slices.Contains(j.Wires, wire) })
}
