package cause

import (
	"fmt"
	"slices"

	"trundle/sim/wiring"
)

// widened is a suspect that adds a row which goes on, at either end, with what
// one row of the table says, or puts a longer row in its place: that row is too
// short, and is written anew.
func (p paper) widened(s suspect) suspect {
	if s.layer != inSwitching || len(s.cure.switches) != 1 || len(s.cure.hang)+len(s.cure.unhang) > 0 {
		return s
	}
	more := s.cure.switches[0]
	for i, row := range p.r.Switch {
		wide, goesOn := p.joined(row, more)
		inPlace := len(s.cure.unswitch) == row.Len() && s.cure.unswitch[element{i, 0}] && wide.Len() == more.Len()
		if !goesOn || len(s.cure.unswitch) > 0 && !inPlace {
			continue
		}
		by, where := "a note", "begins %s late"
		if n := wide.Len() - row.Len(); n > 1 {
			by = fmt.Sprintf("%d notes", n)
		}
		if wide.Notes[0] == row.Notes[0] {
			where = "ends %s early"
		}
		s.message = fmt.Sprintf("the row %s "+where, p.switchText(row), by)
		s.at, s.cure = row.At, replaced(i, row, wide)
		break
	}
	return s
}

// joined is a row of the table with what goes on with it, or is all of it and
// more, if that is written as one run.
func (p paper) joined(row, more wiring.Switch) (wide wiring.Switch, goesOn bool) {
	if row.Line == "" || row.Len() == 0 || row.Len() != max(len(row.Notes), len(row.Pins), len(row.ToNotes)) || rowKey(row) != rowKey(more) ||
		row.Kind != wiring.Couple && row.Pins[0].On != more.Pins[0].On {
		return wide, false
	}
	said := map[string]bool{}
	for at := range more.Len() {
		said[placeKey(more, at)] = true
	}
	for at := range row.Len() {
		said[placeKey(row, at)] = true
	}
	if wide = more; len(said) > more.Len() {
		wide.Notes, wide.Pins, wide.ToNotes = slices.Concat(row.Notes, more.Notes), slices.Concat(row.Pins, more.Pins), slices.Concat(row.ToNotes, more.ToNotes)
		wide = ordered(wide)
	}
	return wide, wide.Len() == len(said) && wide.Len() > row.Len() && piecesIn(p.switchText(wide)) <= piecesIn(p.switchText(row))
}
