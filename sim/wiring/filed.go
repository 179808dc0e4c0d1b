package wiring

import (
	"strings"

	"trundle/console"
)

// rewritten says what to do that a row of a file has another item.
func (r *Relay) rewritten(row Row, in *console.Instrument, item Item) string {
	_, name, note := item.Words(in)
	var texts []string
	for _, c := range row.Cells {
		texts = append(texts, c.Text)
	}
	texts[ItemColumn], texts[NotesColumn] = name, note
	form := r.Forms[row.At.File]
	return form.Rewrite(row.At.Line, form.Line(form.Cells(nil, row.Cells)), form.Line(form.Cells(texts, nil)))
}

// Filed is a new row, given by its first cells in the order of the columns as
// documented, as a file writes its rows.
func (r *Relay) Filed(file string, cells ...string) string {
	form, known := r.Forms[file]
	if !known {
		return strings.Join(cells, ",")
	}
	return form.Say(form.Line(form.Cells(cells, nil)))
}

// Home is the file in which a new row of a list should stand: that of its board,
// else that of boards of its kind.
func (r *Relay) Home(rows []Row, on int) string {
	kind := func(on int) Direction {
		if on < len(r.Boards) {
			return r.Boards[on].Direction
		}
		return ""
	}
	for _, alike := range []func(int) bool{
		func(other int) bool { return other == on },
		func(other int) bool { return kind(other) == kind(on) },
		func(int) bool { return true },
	} {
		for _, row := range rows {
			if len(row.Pins) > 0 && alike(row.Pins[0].On) {
				return row.At.File
			}
		}
	}
	return ""
}
