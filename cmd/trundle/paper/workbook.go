package paper

import (
	"encoding/csv"
	"io"
	"strings"

	"github.com/xuri/excelize/v2"
)

// WriteXLSX writes the tables as sheets of a workbook. Every cell is text, so
// that none is a formula.
func (p *Paper) WriteXLSX(w io.Writer) error {
	book := excelize.NewFile()
	defer book.Close()
	for i, t := range p.Tables() {
		if i == 0 {
			if err := book.SetSheetName("Sheet1", t.Name); err != nil {
				return err
			}
		} else if _, err := book.NewSheet(t.Name); err != nil {
			return err
		}
		sheet, err := book.NewStreamWriter(t.Name)
		if err != nil {
			return err
		}
		for r, row := range t.all() {
			cells := make([]any, len(row))
			for c, cell := range row {
				cells[c] = cell
			}
			at, err := excelize.CoordinatesToCellName(1, r+1)
			if err != nil {
				return err
			}
			if err := sheet.SetRow(at, cells); err != nil {
				return err
			}
		}
		if err := sheet.Flush(); err != nil {
			return err
		}
	}
	return book.Write(w)
}

// all is the rows of a table, its header first.
func (t *Table) all() [][]string { return append([][]string{t.Head}, t.Rows...) }

// WriteCSV writes the table for a spreadsheet.
func (t *Table) WriteCSV(w io.Writer) error { return WriteCSV(w, t.all()) }

// WriteCSV writes rows for a spreadsheet. A cell that a spreadsheet would take
// for a formula is kept as text by a quote before it.
func WriteCSV(w io.Writer, rows [][]string) error {
	out := csv.NewWriter(w)
	for _, row := range rows {
		cells := make([]string, len(row))
		for i, cell := range row {
			if cell != "" && strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
				cell = "'" + cell
			}
			cells[i] = cell
		}
		if err := out.Write(cells); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}
