// Package table reads the tables that wiring and switching are written in, as
// CSV or as a sheet of a workbook: columns found by the names of a header row,
// in any order, and rows whose cells remember where they stand. Every row is
// kept or named in a finding.
package table

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console/finding"
)

// Table is a sheet of cells under known columns.
type Table struct {
	File string
	Rows []Row

	header header
	comma  byte           // 0 in a sheet of a workbook
	odd    map[int][]Cell // rows of a text that have more or fewer cells than the header
}

// Row is one row of a table: its cells in the order of the columns that the
// reader asked for, whatever their order in the file.
type Row []Cell

// Cell is one cell: its text without blanks around it, and its place, line
// and column from 1, in characters. A cell that the row does not reach, or
// whose column the file does not have, is empty and stands at the row's first.
type Cell struct {
	Text         string
	Line, Column int
}

// Place is where a cell stands.
func (t *Table) Place(c Cell) finding.Place {
	return finding.Place{File: t.File, Line: c.Line, Column: c.Column}
}

// Column is a column that a table may have.
type Column struct {
	Name     string
	Required bool
	Of       string   // of two columns of one name: the column that this one follows
	Also     []string // what a file may call it instead, in small letters
}

// header says, for each column of a file in turn, which wanted column it is.
type header []int

const (
	unnamed = -1 // nothing may stand there
	refused = -2 // named in a finding; its cells are passed over
)

// readHeader matches the cells of a header row to the wanted columns; it is
// complete when no required one is missing. A row that is the header of another
// table, or of none, is one finding.
func readHeader(t *Table, cells []Cell, want []Column) (h header, complete bool, found []finding.Finding) {
	h, complete = make(header, len(cells)), true
	seen := make([]bool, len(want))
	owner := ""
	for i, c := range cells {
		name := strings.ToLower(c.Text)
		h[i] = match(want, name, owner)
		switch {
		case name == "":
			h[i] = unnamed
		case h[i] == refused:
			found = append(found, t.refuse(c, fmt.Sprintf("unknown column %q", c.Text), suggest(want, name)))
		case seen[h[i]]:
			found = append(found, t.refuse(c, fmt.Sprintf("the column %s stands twice", name), "keep one of them"))
			h[i] = refused
		default:
			seen[h[i]] = true
		}
		if owns(want, name) {
			owner = name
		}
	}
	for i, w := range want {
		if w.Required && !seen[i] {
			complete = false
			name := w.Name
			if w.Of != "" {
				name += " after " + w.Of
			}
			found = append(found, t.refuse(cells[0], fmt.Sprintf("the column %s is missing", name), "the first row names the columns: "+names(want)))
		}
	}
	if unknown := count(h, refused); !complete && unknown > 1 && len(found)-unknown >= 1 {
		message, fix := "these are the columns of another table", "here they are "+names(want)+"; name the file of these"
		if unknown == len(cells)-count(h, unnamed) {
			message, fix = "no column of this row is known", "the first row names the columns: "+names(want)+"; a shop's own names go under `columns` of the relay"
		}
		found = []finding.Finding{t.refuse(cells[0], message, fix)}
	}
	return h, complete, found
}

// heading is the header of a file as it is looked for, from the first row on.
type heading struct {
	header
	complete bool
	found    []finding.Finding
	first    Cell
	rows     int
}

// read takes one more row for the header. Where it is the header and rows above
// it are not, they are a title.
func (g *heading) read(t *Table, cells []Cell, want []Column) {
	const titles = 10 // rows at most
	if g.rows++; g.rows > titles {
		return
	}
	h, complete, found := readHeader(t, cells, want)
	switch {
	case g.rows == 1:
		g.header, g.complete, g.found, g.first = h, complete, found, cells[0]
	case complete:
		g.header, g.complete = h, true
		g.found = append(found, t.refuse(g.first, fmt.Sprintf("line %d looks like a title; the header stands in line %d", g.first.Line, cells[0].Line),
			"take the lines above the header out, or begin each with #"))
	}
}

func count(h header, what int) (n int) {
	for _, column := range h {
		if column == what {
			n++
		}
	}
	return n
}

func match(want []Column, name, owner string) int {
	for i, w := range want {
		if (w.Name == name || slices.Contains(w.Also, name)) && (w.Of == "" || w.Of == owner) {
			return i
		}
	}
	return refused
}

// owns reports whether some column is told apart by following this one.
func owns(want []Column, name string) bool {
	for _, w := range want {
		if w.Of == name && name != "" {
			return true
		}
	}
	return false
}

func suggest(want []Column, name string) string {
	var known []string
	for _, w := range want {
		known = append(known, w.Name)
	}
	if fix := finding.DidYouMean(name, known); fix != "" {
		return fix
	}
	return "the columns are " + names(want)
}

func names(want []Column) string {
	var list []string
	for _, w := range want {
		list = append(list, w.Name)
	}
	return strings.Join(list, ",")
}

// add puts one row of the file under the wanted columns.
func (t *Table) add(h header, width int, cells []Cell) []finding.Finding {
	var found []finding.Finding
	row := make(Row, width)
	for i := range row {
		row[i].Line, row[i].Column = cells[0].Line, cells[0].Column
	}
	for i, c := range cells {
		switch {
		case i < len(h) && h[i] >= 0:
			row[h[i]] = c
		case c.Text != "" && (i >= len(h) || h[i] == unnamed):
			found = append(found, t.refuse(c, fmt.Sprintf("%q stands under no column", c.Text), "name its column in the first row, or take the cell out"))
		}
	}
	if t.comma != 0 && len(cells) != len(h) {
		if t.odd == nil {
			t.odd = map[int][]Cell{}
		}
		t.odd[len(t.Rows)] = slices.Clone(cells)
	}
	t.Rows = append(t.Rows, row)
	return found
}

func (t *Table) refuse(c Cell, message, fix string) finding.Finding {
	return finding.Finding{Rule: finding.NoMeaning, Severity: finding.Error, Place: t.Place(c), Message: message, Fix: fix}
}
