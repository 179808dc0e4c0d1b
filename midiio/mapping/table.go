package mapping

import (
	"fmt"
	"strings"
)

// Row is a line of the table of a map: a keyboard, the lines of a division, the
// valves of a rank, or one control, button or shoe, and its messages each way,
// "" where there are none.
type Row struct{ What, Name, ToOrgan, ToConsole string }

// Table lists all that is mapped, and behind it what is not.
func (m *Map) Table() []Row {
	var rows []Row
	for i := 0; i < len(m.Entries); {
		n := m.together(i)
		rows = append(rows, m.row(m.Entries[i:i+n]))
		i += n
	}
	for _, t := range m.Unmapped() {
		rows = append(rows, Row{What: m.what(t), Name: m.whole(t), ToOrgan: "not mapped", ToConsole: "not mapped"})
	}
	return rows
}

func (m *Map) row(run []Entry) Row {
	r := Row{What: m.what(run[0].Thing), Name: m.whole(run[0].Thing)}
	if run[0].Kind == Valve && m.ranks(run[0].Thing, len(run)) == allRanks {
		r.Name = "all ranks"
	}
	for way, said := range map[Way]*string{ToOrgan: &r.ToOrgan, ToConsole: &r.ToConsole} {
		first, last := run[0].forms[way], run[len(run)-1].forms[way]
		switch {
		case first == nil:
		case len(run) == 1:
			*said = first.String()
		case first.on.channel() == last.on.channel():
			kind, from, _ := inParts(first.on)
			_, to, on := inParts(last.on)
			*said = fmt.Sprintf("%ss %d to %d%s", kind, from, to, on)
		default:
			kind, from, on := inParts(first.on)
			_, to, end := inParts(last.on)
			*said = fmt.Sprintf("%ss from %d%s to %d%s", kind, from, on, to, end)
		}
	}
	return r
}

// what is the sort of thing of a row.
func (m *Map) what(t Thing) string {
	switch t.Kind {
	case Key:
		return "keys"
	case Second:
		return "second contacts"
	case Line:
		return "lines"
	case Valve:
		return "valves"
	case Stage:
		return "stage"
	case Control:
		return strings.ReplaceAll(string(m.in.Controls[t.Index].Kind), "-", " ")
	}
	return string(t.Kind)
}

// whole is the name of what a row is about, with its compass.
func (m *Map) whole(t Thing) string {
	switch t.Kind {
	case Key, Second:
		keyboard := m.in.Keyboards[t.Index]
		return keyboard.ID + " " + keyboard.Keys.String()
	case Line:
		division := m.in.Divisions[t.Index]
		return division.ID + " " + division.Notes.String()
	case Valve:
		rank := m.in.Ranks[m.in.RankOf(t.Index)]
		return fmt.Sprintf("%s:1..%d", rank.ID, rank.Pipes)
	case Stage:
		return "crescendo"
	}
	return t.Name(m.in)
}
