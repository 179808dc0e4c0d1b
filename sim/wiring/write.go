package wiring

import (
	"encoding/csv"
	"io"
	"strings"

	"trundle/console"
	"trundle/sim/table"
)

// WriteSwitching writes switching rows as a table that Load reads back.
func WriteSwitching(w io.Writer, r *Relay, rows []Switch) error {
	out := newWriter(w, switchingColumns)
	for _, s := range rows {
		board := ""
		if len(s.Pins) > 0 {
			board = r.Board(s.Pins[0].On)
		}
		out.Write([]string{string(s.Kind), s.Line, FormatNotes(s.Notes), FormatControl(s.Control),
			board, FormatNumbers(pinsOf(s.Pins)), s.To, FormatNotes(s.ToNotes), string(s.Picks)})
	}
	out.Flush()
	return out.Error()
}

func newWriter(w io.Writer, columns []table.Column) *csv.Writer {
	out := csv.NewWriter(w)
	var names []string
	for _, c := range columns {
		names = append(names, c.Name)
	}
	out.Write(names) // a failed write is kept for Error
	return out
}

// FormatControl writes literals as a cell has them: a&!b.
func FormatControl(literals []Literal) string {
	words := make([]string, len(literals))
	for i, l := range literals {
		words[i] = l.Label
		if l.Not {
			words[i] = "!" + l.Label
		}
	}
	return strings.Join(words, "&")
}

// WriteWiring writes wiring rows as a table that Load reads back. Names come
// from the rows' items, for kinds without items from the rows as written.
func WriteWiring(w io.Writer, r *Relay, in *console.Instrument, rows []Row) error {
	out := newWriter(w, wiringColumns)
	for _, row := range rows {
		kind, item, notes := row.Kind, row.Item, row.Notes
		if len(row.Items) > 0 && (row.Items[0].Index != console.None || row.Items[0].Kind == StageKind) {
			kind, item, _ = row.Items[0].Words(in)
			notes = formatItems(row.Items)
		}
		board := ""
		if len(row.Pins) > 0 {
			board = r.Board(row.Pins[0].On)
		}
		out.Write([]string{board, FormatNumbers(pinsOf(row.Pins)), string(kind), item, notes,
			row.Cable, FormatNumbers(row.Wires), row.Group})
	}
	out.Flush()
	return out.Error()
}

// formatItems writes what tells the items of one row apart, "" for nothing.
func formatItems(items []Item) string {
	switch kind := items[0].Kind; {
	case !kind.noted():
		return ""
	case kind == KeyKind, kind == Key2Kind, kind == NoteKind:
		notes := make([]console.Note, len(items))
		for i, item := range items {
			notes[i] = console.Note(item.Note)
		}
		return FormatNotes(notes)
	}
	numbers := make([]int, len(items))
	for i, item := range items {
		if item.Note == 0 { // a stage that no number was given for
			return ""
		}
		numbers[i] = item.Note
	}
	return FormatNumbers(numbers)
}

// WriteJoins writes joins as a table that Load reads back.
func WriteJoins(w io.Writer, r *Relay, joins []Join) error {
	out := newWriter(w, joinColumns)
	for _, j := range joins {
		var from, to string
		if len(j.From) > 0 && len(j.To) > 0 {
			from, to = r.Board(j.From[0].On), r.Board(j.To[0].On)
		}
		out.Write([]string{from, FormatNumbers(pinsOf(j.From)), to, FormatNumbers(pinsOf(j.To)), j.Cable, FormatNumbers(j.Wires)})
	}
	out.Flush()
	return out.Error()
}
