package table

import (
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"
)

// Form is how a file writes its rows.
type Form struct {
	Columns []int // which wanted column each of the file's columns is; negative where it is none
	Comma   byte  // what stands between the cells; 0 in a sheet of a workbook
}

// Form is how the file of a table writes its rows.
func (t *Table) Form() Form { return Form{t.header, t.comma} }

// Cells are the cells of a row by the file's columns, out of the texts of the
// first of the wanted columns. The others are those of a row like it, if any.
func (f Form) Cells(texts []string, like Row) []string {
	cells := make([]string, len(f.Columns))
	for i, column := range f.Columns {
		switch {
		case column < 0:
		case column < len(texts):
			cells[i] = texts[column]
		case column < len(like):
			cells[i] = like[column].Text
		}
	}
	return cells
}

// Line is cells as a line of the file, or with tabs between where a sheet has them.
func (f Form) Line(cells []string) string {
	if f.Comma == 0 {
		return strings.Join(cells, "\t")
	}
	written := make([]string, len(cells))
	for i, text := range cells {
		written[i] = quotedFor(text, f.Comma)
	}
	return strings.Join(written, string(f.Comma))
}

// Say is a line as it is read out: of a sheet, each cell with its column.
func (f Form) Say(line string) string {
	if f.Comma != 0 {
		return line
	}
	var said []string
	for i, text := range strings.Split(line, "\t") {
		if text != "" {
			said = append(said, columnName(i+1)+": "+text)
		}
	}
	return strings.Join(said, ", ")
}

// Rewrite says how a row becomes another, both written as Line does: the new
// line, or the cells of a sheet that differ.
func (f Form) Rewrite(row int, old, line string) string {
	if f.Comma != 0 {
		return "write " + line
	}
	var cells []string
	was, is := strings.Split(old, "\t"), strings.Split(line, "\t")
	for i := range is {
		cell := fmt.Sprintf("cell %s%d", columnName(i+1), row)
		switch {
		case is[i] == was[i]:
		case is[i] == "":
			cells = append(cells, cell+": leave it empty")
		default:
			cells = append(cells, cell+": write "+is[i])
		}
	}
	return strings.Join(cells, " and then ")
}

// columnName is what a sheet calls a column, from 1: A, B.
func columnName(column int) string {
	name, _ := excelize.ColumnNumberToName(column) // "" for none that a sheet can have
	return name
}
