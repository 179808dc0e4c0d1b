package gen

import (
	"slices"

	"trundle/sim/wiring"
)

// rowClasses are the faults that concern whole rows of the wiring, or what
// hangs on two pins.
var rowClasses = []string{"pins-bridged", "row-missing", "plugs-swapped", "boards-swapped", "keyboards-swapped", "ranks-swapped"}

func (p *planter) inRows(class string) bool {
	switch class {
	case "pins-bridged":
		return p.bridge()
	case "row-missing":
		return p.loseRow()
	case "plugs-swapped":
		return p.swapPlugs()
	case "boards-swapped":
		return p.swapBoards()
	case "keyboards-swapped":
		return p.swapItems(wiring.KeyKind)
	}
	return p.swapItems(wiring.ValveKind)
}

// heardRows are the rows of wiring that have a part in which valves open.
func (p *planter) heardRows() []*wiring.Row {
	var rows []*wiring.Row
	for i := range *p.rows {
		if row := &(*p.rows)[i]; p.heard(*row) != "" {
			rows = append(rows, row)
		}
	}
	return rows
}

// bridge connects two neighbouring pins of a row: each has what hangs on
// both, or only the first has.
func (p *planter) bridge() bool {
	rows := slices.DeleteFunc(p.heardRows(), func(row *wiring.Row) bool { return len(row.Pins) < 2 })
	if len(rows) == 0 {
		return false
	}
	row := *pick(p, rows)
	i := p.IntN(len(row.Pins) - 1)
	a, b := part(row, i, i+1), part(row, i+1, i+2)
	a.Pins, b.Pins = b.Pins, a.Pins
	a.At, b.At = touched, touched
	*p.rows = append(*p.rows, b)
	if p.IntN(2) == 0 {
		*p.rows = append(*p.rows, a)
	}
	p.fault.Pins = []wiring.Terminal{b.Pins[0], a.Pins[0]}
	p.describe(p.heard(row), "%s has what hangs on %s too", p.relay.Name(b.Pins[0]), p.relay.Name(a.Pins[0]))
	return true
}

// loseRow takes a row away: of the wiring, or of the switching. It is one that
// stands for all of something, if there is one: a part of a run is a group
// that is open, one pin is a pin that is open, and what a coupler carries on is
// another class.
func (p *planter) loseRow() bool {
	t := p.tableOf()
	whole := func(s *wiring.Switch) bool {
		return s.Len() > 1 && !t.carries(*s) && !slices.ContainsFunc(p.relay.Switch, func(other wiring.Switch) bool {
			return other.At != s.At && other.Kind == s.Kind && other.Line == s.Line && other.To == s.To && slices.Equal(other.Control, s.Control)
		})
	}
	var switched []int
	for i := range p.relay.Switch {
		if whole(&p.relay.Switch[i]) {
			switched = append(switched, i)
		}
	}
	if !p.relay.Derived && len(switched) > 0 && p.IntN(2) == 0 {
		i := pick(p, switched)
		p.describe(string(p.relay.Switch[i].Kind), "row %d of %s is missing", i+1, SwitchingFile)
		p.relay.Switch = slices.Delete(p.relay.Switch, i, i+1)
		return true
	}
	rows := p.heardRows()
	if len(rows) == 0 {
		return false
	}
	alone := slices.DeleteFunc(slices.Clone(rows), func(row *wiring.Row) bool {
		return len(row.Pins) < 2 || slices.ContainsFunc(rows, func(other *wiring.Row) bool { return other != row && other.Kind == row.Kind && other.Item == row.Item })
	})
	if len(alone) > 0 {
		rows = alone
	}
	row := pick(p, rows)
	p.describe(p.heard(*row), "the row of %s %s from %s is missing", row.Kind, row.Item, p.relay.Name(row.Pins[0]))
	p.fault.Pins = slices.Clone(row.Pins)
	row.Pins, row.Items, row.Wires = nil, nil, nil
	return true
}

// swapPlugs exchanges two rows of the same sort and length, as two plugs. Two
// of one thing would be an octave off, all of two things two ranks exchanged.
func (p *planter) swapPlugs() bool {
	rows := p.heardRows()
	p.Shuffle(len(rows), func(i, j int) { rows[i], rows[j] = rows[j], rows[i] })
	for i, a := range rows {
		for _, b := range rows[i+1:] {
			if p.heard(*a) != p.heard(*b) || len(a.Pins) != len(b.Pins) || len(a.Pins) < 2 || a.Item == b.Item || p.sameNotes(*a, *b) {
				continue
			}
			p.describe(p.heard(*a), "the plugs at %s and %s are exchanged", p.relay.Name(a.Pins[0]), p.relay.Name(b.Pins[0]))
			a.Pins, b.Pins = b.Pins, a.Pins
			a.At, b.At = touched, touched
			p.fault.Pins = slices.Concat(a.Pins, b.Pins)
			return true
		}
	}
	return false
}

// sameNotes reports whether two rows of keys or valves have the same notes or
// numbers.
func (p *planter) sameNotes(a, b wiring.Row) bool {
	if kind := a.Items[0].Kind; kind != wiring.KeyKind && kind != wiring.ValveKind {
		return false
	}
	for i := range a.Items {
		if a.Items[i].Note != b.Items[i].Note {
			return false
		}
	}
	return true
}

// swapBoards exchanges all plugs of two boards of the same sort and size.
func (p *planter) swapBoards() bool {
	type pair struct{ a, b int }
	var pairs []pair
	for b, other := range p.relay.Boards {
		for a, board := range p.relay.Boards[:b] {
			if board.Direction == other.Direction && board.Pins == other.Pins {
				pairs = append(pairs, pair{a, b})
			}
		}
	}
	if len(pairs) == 0 {
		return false
	}
	boards := pick(p, pairs)
	for i := range *p.rows {
		if row := &(*p.rows)[i]; swapOn(row.Pins, boards.a, boards.b) && p.heard(*row) != "" {
			row.At = touched
		}
	}
	if !p.relay.Derived {
		for i := range p.relay.Joins {
			if j := &p.relay.Joins[i]; swapOn(j.From, boards.a, boards.b) {
				j.At = touched
			}
		}
	}
	p.describe(string(p.relay.Boards[boards.a].Direction), "boards %s and %s are exchanged", p.relay.Boards[boards.a].ID, p.relay.Boards[boards.b].ID)
	return true
}

func swapOn(pins []wiring.Terminal, a, b int) (swapped bool) {
	for i := range pins {
		switch pins[i].On {
		case a:
			pins[i].On, swapped = b, true
		case b:
			pins[i].On, swapped = a, true
		}
	}
	return swapped
}

// swapItems exchanges two keyboards, or two ranks, key by key and valve by
// valve as far as both reach.
func (p *planter) swapItems(kind wiring.Kind) bool {
	var found []int
	at := map[wiring.Item][2]int{} // a row and the place in it
	for i, row := range *p.rows {
		for k, item := range row.Items {
			if item.Kind != kind {
				continue
			}
			if !slices.Contains(found, item.Index) {
				found = append(found, item.Index)
			}
			at[item] = [2]int{i, k}
		}
	}
	if len(found) < 2 {
		return false
	}
	p.Shuffle(len(found), func(i, j int) { found[i], found[j] = found[j], found[i] })
	a, b := found[0], found[1]
	rows := *p.rows
	for item, one := range at {
		other, both := at[wiring.Item{Kind: kind, Index: b, Of: item.Of, Note: item.Note}]
		if item.Index != a || !both {
			continue
		}
		x, y := &rows[one[0]].Pins[one[1]], &rows[other[0]].Pins[other[1]]
		*x, *y = *y, *x
		rows[one[0]].At, rows[other[0]].At = touched, touched
		p.fault.Pins = append(p.fault.Pins, *x, *y)
	}
	slices.SortFunc(p.fault.Pins, before)
	p.describe(string(kind), "what hangs on the pins of two %ss is exchanged", kind)
	return len(p.fault.Pins) > 0
}
