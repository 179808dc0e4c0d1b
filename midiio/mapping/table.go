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
		n := 1
		for i+n < len(m.Entries) && m.together(m.Entries[i].Thing, m.Entries[i+n].Thing) {
			n++
		}
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
	for way, to := range map[Way]*string{ToOrgan: &r.ToOrgan, ToConsole: &r.ToConsole} {
		first, last := run[0].forms[way], run[len(run)-1].forms[way]
		switch {
		case first == nil:
		case len(run) == 1:
			*to = first.String()
		case first.on.channel() == last.on.channel():
			*to = fmt.Sprintf("notes %d to %d on channel %d", first.on.number, last.on.number, first.on.channel())
		default:
			*to = fmt.Sprintf("notes from %d on channel %d to %d on channel %d", first.on.number, first.on.channel(), last.on.number, last.on.channel())
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
