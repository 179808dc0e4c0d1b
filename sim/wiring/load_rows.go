package wiring

import (
	"slices"
	"strings"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/table"
)

// Columns of a table of wiring, by their place in Row.Cells.
const (
	BoardColumn = iota
	PinsColumn
	KindColumn
	ItemColumn
	NotesColumn
	CableColumn
	WiresColumn
	GroupColumn
)

var wiringColumns = []table.Column{
	{Name: "board", Required: true}, {Name: "pins", Required: true}, {Name: "kind", Required: true}, {Name: "item", Required: true},
	{Name: "notes"}, {Name: "cable"}, {Name: "wires"}, {Name: "group"},
}

// Columns of a table of joins, by their place in Join.Cells.
const (
	FromColumn = iota
	FromPinsColumn
	ToColumn
	ToPinsColumn
	JoinCableColumn
	JoinWiresColumn
)

var joinColumns = []table.Column{
	{Name: "from", Required: true}, {Name: "pins", Required: true, Of: "from"},
	{Name: "to", Required: true}, {Name: "pins", Required: true, Of: "to"},
	{Name: "cable"}, {Name: "wires"},
}

// Place is where a cell of the row stands.
func (r Row) Place(column int) finding.Place { return placeIn(r.Cells, column, r.At) }

// Place is where a cell of the join stands.
func (j Join) Place(column int) finding.Place { return placeIn(j.Cells, column, j.At) }

// Place is where a cell of the row stands.
func (s Switch) Place(column int) finding.Place { return placeIn(s.Cells, column, s.At) }

// placeIn is where a cell of a row stands; at for a row of no file.
func placeIn(cells table.Row, column int, at finding.Place) finding.Place {
	if cells != nil {
		at.Line, at.Column = cells[column].Line, cells[column].Column
	}
	return at
}

// firstOf is where a row begins: its first cell in the file.
func firstOf(t *table.Table, cells table.Row) finding.Place {
	first := t.Place(cells[0])
	for _, c := range cells {
		if p := t.Place(c); p.Compare(first) < 0 {
			first = p
		}
	}
	return first
}

func (rd *reader) wiring(t *table.Table) []Row {
	return rowsOf(rd, t, func(cells table.Row) Row {
		row := Row{
			At: firstOf(t, cells), Cells: cells,
			Kind: Kind(cells[KindColumn].Text), Item: cells[ItemColumn].Text, Notes: cells[NotesColumn].Text, Group: cells[GroupColumn].Text,
		}
		row.Pins = rd.pins(t, cells[BoardColumn], cells[PinsColumn])
		row.Cable, row.Wires = rd.wires(t, cells[CableColumn], cells[WiresColumn])
		row.Items = rd.items(t, row)
		return row
	})
}

func (rd *reader) joins(t *table.Table) []Join {
	return rowsOf(rd, t, func(cells table.Row) Join {
		j := Join{At: firstOf(t, cells), Cells: cells}
		j.From = rd.pins(t, cells[FromColumn], cells[FromPinsColumn])
		j.To = rd.pins(t, cells[ToColumn], cells[ToPinsColumn])
		j.Cable, j.Wires = rd.wires(t, cells[JoinCableColumn], cells[JoinWiresColumn])
		return j
	})
}

// pins are the terminals that two cells name.
func (rd *reader) pins(t *table.Table, board, pins table.Cell) []Terminal {
	on, known := rd.find(t, board, board.Text, rd.terminals)
	numbers := rd.numbers(t, pins)
	if !known || numbers == nil {
		return nil
	}
	list := make([]Terminal, len(numbers))
	for i, n := range numbers {
		list[i] = Terminal{on, n}
	}
	return list
}

func (rd *reader) numbers(t *table.Table, c table.Cell) []int {
	list, err := console.ParseNumbers(c.Text)
	if err != nil {
		rd.refuse(t, c, "", err.Error())
	}
	return list
}

func (rd *reader) notes(t *table.Table, c table.Cell) []console.Note {
	list, err := console.ParseNotes(c.Text)
	if err != nil {
		rd.refuse(t, c, "", err.Error())
	}
	return list
}

// wires are the cable and its wires that two cells name, if they do.
func (rd *reader) wires(t *table.Table, cable, wires table.Cell) (string, []int) {
	if cable.Text != "" && rd.cables != nil {
		rd.find(t, cable, cable.Text, rd.cables)
	}
	if wires.Text == "" {
		return cable.Text, nil
	}
	if cable.Text == "" {
		rd.refuse(t, wires, "name the cable, or leave the wires empty", "these wires are of no cable")
	}
	return cable.Text, rd.numbers(t, wires)
}

// kinds of wiring rows, in the order of the documentation.
var kinds = []string{
	"key", "key-2", "stop", "coupler", "ventil", "tremulant", "control", "button", "stage", "shoe",
	"note", "action", "action-on", "action-off", "valve", "knob-on", "knob-off", "shade", "lamp",
	"row", "column", "common", "return", "feed", "blower", "spare",
}

// items are what a row hangs on its pins, one after the other.
func (rd *reader) items(t *table.Table, row Row) []Item {
	item, notes := row.Cells[ItemColumn], row.Cells[NotesColumn]
	switch row.Kind {
	case KeyKind, Key2Kind:
		return rd.keys(t, row.Kind, item, notes)
	case StopKind, CouplerKind, ControlKind:
		return rd.one(t, ControlKind, item, notes, rd.controls)
	case VentilKind, TremulantKind:
		kind := ControlKind
		if len(row.Pins) > 0 && rd.direction[row.Pins[0].On] == Output {
			kind = row.Kind
		}
		return rd.one(t, kind, item, notes, rd.controls)
	case KnobOnKind, KnobOffKind:
		return rd.one(t, row.Kind, item, notes, rd.controls)
	case LampKind:
		return rd.one(t, row.Kind, item, notes, rd.lamps)
	case ButtonKind:
		return rd.one(t, row.Kind, item, notes, rd.buttons)
	case ShoeKind:
		return rd.one(t, row.Kind, item, notes, rd.shoes)
	case StageKind:
		return rd.stages(t, row.Kind, item, notes, len(row.Pins), rd.sequences, rd.crescendoStages)
	case ShadeKind:
		return rd.stages(t, row.Kind, item, notes, len(row.Pins), rd.boxes, func(box int) int { return rd.in.Boxes[box].Magnets() })
	case NoteKind:
		return rd.noteLines(t, item, notes, len(row.Pins))
	case ActionKind, ActionOnKind, ActionOffKind:
		return rd.action(t, row.Kind, item, notes)
	case ValveKind:
		return rd.valves(t, item, notes)
	case RowKind, ColumnKind, CommonKind, ReturnKind, FeedKind, BlowerKind, SpareKind:
		return slices.Repeat([]Item{{row.Kind, console.None, console.None, 0}}, len(row.Pins))
	}
	c := row.Cells[KindColumn]
	if fix := finding.DidYouMean(c.Text, kinds); c.Text == "" {
		rd.refuse(t, c, "say what hangs on the pins: key, stop, valve, spare...", "a kind is missing")
	} else if fix == "" {
		rd.refuse(t, c, "the kinds are "+strings.Join(kinds, ", "), "no kind "+c.Text)
	} else {
		rd.refuse(t, c, fix, "no kind "+c.Text)
	}
	return nil
}
