package table

import (
	"fmt"
	"slices"
	"strings"
)

// Repair is a row as it would be with commas put in at one place, or taken out.
type Repair struct {
	Row  Row
	At   Cell   // where
	Says string // what is wrong: a comma is missing between bourdon and 1..61
	Text string // the row as the file would write it
}

// Repairs are the rows that row i may have been meant to be: where a comma or a
// few are missing or too many. A sheet of a workbook has none.
func (t *Table) Repairs(i int) []Repair {
	r := repairs{table: t, cells: t.cellsOf(i)}
	if len(r.cells) == 0 || len(r.cells) > 2*len(t.header)+few || slices.Contains(t.header, refused) {
		return nil
	}
	r.seen = []string{r.text(r.cells)}
	r.missing()
	r.split()
	r.tooMany()
	return r.list
}

// Cells says how many cells row i has where its header has another number; ""
// where they are as many, and of a sheet.
func (t *Table) Cells(i int) string {
	n := len(t.cellsOf(i))
	if n == 0 || n == len(t.header) {
		return ""
	}
	return fmt.Sprintf("the row has %d cells of %d", n, len(t.header))
}

// few is how many commas are thought to be missing at one place, or too many
// between cells that are empty.
const few = 3

// cellsOf are the cells of a row in the order of the file; none of a sheet.
func (t *Table) cellsOf(i int) []Cell {
	if t.comma == 0 {
		return nil
	}
	if cells, odd := t.odd[i]; odd {
		return cells
	}
	cells := make([]Cell, len(t.header))
	for at, column := range t.header {
		if column >= 0 {
			cells[at] = t.Rows[i][column]
		}
	}
	return cells
}

// repairs gathers them for one row.
type repairs struct {
	table *Table
	cells []Cell
	seen  []string // texts without empty cells at their end
	list  []Repair
}

// missing puts empty cells before a cell.
func (r *repairs) missing() {
	for at, c := range r.cells {
		for n := 1; n <= few && c.Text != ""; n++ {
			says := r.commas(n, "", "is missing", "are missing")
			if before := r.before(at); before != "" {
				says += fmt.Sprintf(" between %s and %s", before, c.Text)
			} else {
				says += " before " + c.Text
			}
			r.add(c, says, slices.Insert(slices.Clone(r.cells), at, make([]Cell, n)...))
		}
	}
}

// before is the last text before a cell.
func (r *repairs) before(at int) string {
	for at--; at >= 0; at-- {
		if r.cells[at].Text != "" {
			return r.cells[at].Text
		}
	}
	return ""
}

// split makes two cells of one.
func (r *repairs) split() {
	const long = 200 // characters of a cell that is left as it is
	for at, c := range r.cells {
		text := []rune(c.Text)
		for k := 1; k < len(text) && len(text) <= long; k++ {
			if text[k] == '0' {
				continue // no number begins so
			}
			a, b := c, c
			a.Text, b.Text = strings.TrimSpace(string(text[:k])), strings.TrimSpace(string(text[k:]))
			b.Column += k
			r.add(b, fmt.Sprintf("%s between %s and %s", r.commas(1, "", "is missing", ""), a.Text, b.Text), slices.Replace(slices.Clone(r.cells), at, at+1, a, b))
		}
	}
}

// tooMany takes out empty cells before a cell, and makes one cell of several.
func (r *repairs) tooMany() {
	for at, c := range r.cells {
		for n := 1; c.Text != "" && n <= min(few, at) && r.cells[at-n].Text == ""; n++ {
			r.add(c, fmt.Sprintf("%s before %s", r.tooManyStand(n), c.Text), slices.Delete(slices.Clone(r.cells), at-n, at))
		}
		words := []string{c.Text}
		for _, next := range r.cells[at+1:] {
			if c.Text == "" || next.Text == "" {
				break
			}
			words = append(words, next.Text)
			for _, blank := range []string{" ", ""} {
				one := c
				one.Text = strings.Join(words, blank)
				r.add(c, fmt.Sprintf("%s in %s", r.tooManyStand(len(words)-1), strings.Join(words, string(r.table.comma))), slices.Replace(slices.Clone(r.cells), at, at+len(words), one))
			}
		}
	}
}

func (r *repairs) tooManyStand(n int) string { return r.commas(n, " too many", "stands", "stand") }

// commas are so many of what separates the cells, with a verb.
func (r *repairs) commas(n int, which, one, several string) string {
	name := map[byte]string{',': "comma", ';': "semicolon", '\t': "tab"}[r.table.comma]
	if n == 1 {
		return "a " + name + which + " " + one
	}
	return fmt.Sprintf("%d %ss%s %s", n, name, which, several)
}

// add keeps a row that is new and has a column for all that it says.
func (r *repairs) add(at Cell, says string, cells []Cell) {
	text := r.text(cells)
	h := r.table.header
	if slices.Contains(r.seen, text) {
		return
	}
	r.seen = append(r.seen, text)
	row := make(Row, len(r.table.Rows[0]))
	for i := range row {
		row[i].Line, row[i].Column = r.cells[0].Line, r.cells[0].Column
	}
	for i, c := range cells {
		if i < len(h) && h[i] >= 0 {
			row[h[i]].Text = c.Text
		} else if c.Text != "" {
			return
		}
	}
	if len(cells) == len(h) && len(r.cells) != len(h) {
		says = fmt.Sprintf("the row has %d cells of %d: %s", len(r.cells), len(h), says)
	}
	written := make([]string, len(cells))
	for i, c := range cells {
		written[i] = c.Text
	}
	r.list = append(r.list, Repair{Row: row, At: at, Says: says, Text: r.table.Form().Line(written)})
}

// text is what two rows have in common that say the same.
func (r *repairs) text(cells []Cell) string {
	var words []string
	for _, c := range cells {
		words = append(words, c.Text)
	}
	return strings.TrimRight(strings.Join(words, "\x00"), "\x00")
}

// quotedFor is a text as a cell of a file is written.
func quotedFor(text string, comma byte) string {
	if strings.ContainsRune(text, rune(comma)) || strings.Contains(text, `"`) || strings.HasPrefix(text, "#") {
		return `"` + strings.ReplaceAll(text, `"`, `""`) + `"`
	}
	return text
}
