package wiring

import (
	"strings"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/table"
)

// Columns of a switching table, by their place in Switch.Cells.
const (
	SwitchKindColumn = iota
	LineColumn
	LineNotesColumn
	ControlColumn
	SwitchBoardColumn
	SwitchPinsColumn
	ToLineColumn
	ToNotesColumn
	PicksColumn
)

var switchingColumns = []table.Column{
	{Name: "kind", Required: true}, {Name: "line", Required: true}, {Name: "notes", Required: true}, {Name: "control", Required: true},
	{Name: "board", Required: true}, {Name: "pins", Required: true}, {Name: "to"}, {Name: "to-notes"}, {Name: "picks"},
}

func (rd *reader) switching(t *table.Table) []Switch {
	return rowsOf(rd, t, func(cells table.Row) Switch {
		s := Switch{At: firstOf(t, cells), Cells: cells, Kind: SwitchKind(cells[SwitchKindColumn].Text), Line: cells[LineColumn].Text}
		switch s.Kind {
		case Read:
			rd.readRow(t, &s)
		case Couple:
			rd.coupleRow(t, &s)
		case Drive:
			rd.driveRow(t, &s)
		default:
			c := cells[SwitchKindColumn]
			rd.refuse(t, c, "a row is a read, a couple or a drive", "no kind of switching row "+quoted(c.Text))
		}
		return s
	})
}

func quoted(s string) string { return `"` + s + `"` }

// readRow puts pins on a line, or one pin on a label.
func (rd *reader) readRow(t *table.Table, s *Switch) {
	rd.empty(t, s, ToLineColumn, ToNotesColumn, PicksColumn)
	s.Pins = rd.boardPins(t, s)
	if s.Line != "" {
		rd.empty(t, s, ControlColumn)
		s.Notes = rd.notes(t, s.Cells[LineNotesColumn])
		return
	}
	rd.empty(t, s, LineNotesColumn)
	s.Control = rd.control(t, s.Cells[ControlColumn])
	switch c := s.Cells[ControlColumn]; {
	case c.Text == "":
		rd.refuse(t, c, "name a line and its notes, or a control", "this row reads its pins to nothing")
	case len(s.Control) > 1 || len(s.Control) == 1 && s.Control[0].Not:
		rd.refuse(t, c, "name one control, without ! and &", "a pin is read to one label")
	case len(s.Pins) > 1:
		rd.refuse(t, s.Cells[SwitchPinsColumn], "write a row for each pin", "a label is read from one pin a row")
	}
}

// coupleRow passes notes of one line to another.
func (rd *reader) coupleRow(t *table.Table, s *Switch) {
	rd.empty(t, s, SwitchBoardColumn, SwitchPinsColumn)
	rd.need(t, s, LineColumn, ToLineColumn)
	s.Notes = rd.notes(t, s.Cells[LineNotesColumn])
	s.Control = rd.control(t, s.Cells[ControlColumn])
	s.To = s.Cells[ToLineColumn].Text
	s.ToNotes = rd.notes(t, s.Cells[ToNotesColumn])
	c := s.Cells[PicksColumn]
	switch s.Picks = console.Picks(c.Text); s.Picks {
	case console.PicksAll, console.PicksLowest, console.PicksHighest:
	default:
		rd.refuse(t, c, finding.DidYouMean(c.Text, []string{"lowest", "highest"}), "picks is lowest, highest or empty, not "+quoted(c.Text))
	}
}

// driveRow puts a line, or a control alone, on pins.
func (rd *reader) driveRow(t *table.Table, s *Switch) {
	rd.empty(t, s, ToLineColumn, ToNotesColumn, PicksColumn)
	s.Pins = rd.boardPins(t, s)
	s.Control = rd.control(t, s.Cells[ControlColumn])
	if s.Line == "" {
		rd.empty(t, s, LineNotesColumn)
		return
	}
	s.Notes = rd.notes(t, s.Cells[LineNotesColumn])
}

// boardPins are the pins of a row, which stand on a board: the relay reaches
// strips only through joins.
func (rd *reader) boardPins(t *table.Table, s *Switch) []Terminal {
	c := s.Cells[SwitchBoardColumn]
	pins := rd.pins(t, c, s.Cells[SwitchPinsColumn])
	if len(pins) > 0 && pins[0].On >= len(rd.relay.Boards) {
		rd.refuse(t, c, "name the board that is joined to it", c.Text+" is a strip, which the relay cannot switch")
		return nil
	}
	return pins
}

// need notes every cell that is empty and may not be.
func (rd *reader) need(t *table.Table, s *Switch, columns ...int) {
	for _, column := range columns {
		if s.Cells[column].Text == "" {
			rd.refuse(t, s.Cells[column], "", "a "+string(s.Kind)+" row needs "+switchingColumns[column].Name)
		}
	}
}

// empty notes every cell that is given and has no meaning in the row.
func (rd *reader) empty(t *table.Table, s *Switch, columns ...int) {
	for _, column := range columns {
		if c := s.Cells[column]; c.Text != "" {
			what := string(s.Kind) + " row"
			if s.Line == "" && column == LineNotesColumn {
				what += " without a line"
			} else if s.Line != "" && column == ControlColumn {
				what += " with a line"
			}
			rd.refuse(t, c, "leave the cell empty", "a "+what+" has no "+switchingColumns[column].Name)
		}
	}
}

// control are the literals of a cell: a, !a, a&!b.
func (rd *reader) control(t *table.Table, c table.Cell) []Literal {
	if c.Text == "" {
		return nil
	}
	var list []Literal
	for _, word := range strings.Split(c.Text, "&") {
		label, not := strings.CutPrefix(strings.TrimSpace(word), "!")
		label = strings.TrimSpace(label)
		if label == "" || strings.ContainsAny(label, "!| \t\n") {
			rd.refuse(t, c, "write controls joined by &, each perhaps with ! before it; or is a second row", quoted(c.Text)+" is no condition")
			return nil
		}
		list = append(list, Literal{label, not})
	}
	return list
}
