package paper

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
)

// WriteXLSX writes the tables as sheets of a workbook. Every cell is text, or in
// a column of numbers a number, so that none is a formula.
func (p *Paper) WriteXLSX(w io.Writer) error {
	book := excelize.NewFile()
	defer book.Close()
	bold, err := book.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
	if err != nil {
		return err
	}
	tables := p.Tables()
	for i, name := range sheetNames(tables) {
		t := tables[i]
		if i == 0 {
			if err := book.SetSheetName("Sheet1", name); err != nil {
				return err
			}
		} else if _, err := book.NewSheet(name); err != nil {
			return err
		}
		sheet, err := book.NewStreamWriter(name)
		if err != nil {
			return err
		}
		if err := fill(sheet, t, bold); err != nil {
			return err
		}
		if err := sheet.Flush(); err != nil {
			return err
		}
	}
	return book.Write(w)
}

// fill writes a table on a sheet, below a head that stays in sight.
func fill(sheet *excelize.StreamWriter, t *Table, bold int) error {
	numbers := make([]bool, len(t.Head)) // by column
	for i, head := range t.Head {
		numbers[i] = all(t, i, number.MatchString)
		const least, most = 6, 60 // letters
		width := utf8.RuneCountInString(head) + 2
		for _, row := range t.Rows {
			width = max(width, utf8.RuneCountInString(row[i])+2)
		}
		if err := sheet.SetColWidth(i+1, i+1, float64(min(max(width, least), most))); err != nil {
			return err
		}
	}
	if err := sheet.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}); err != nil {
		return err
	}
	for r, row := range t.whole() {
		cells := make([]any, len(row))
		for i, text := range row {
			switch {
			case r == 0:
				cells[i] = excelize.Cell{StyleID: bold, Value: text}
			case text != "" && numbers[i]:
				cells[i], _ = strconv.ParseFloat(text, 64) // it has the form of one
			default:
				cells[i] = text
			}
		}
		at, err := excelize.CoordinatesToCellName(1, r+1)
		if err != nil {
			return err
		}
		if err := sheet.SetRow(at, cells); err != nil {
			return err
		}
	}
	return nil
}

// sheetNames are the names of tables as a workbook allows them: at most 31
// letters, and no two that differ in capitals only.
func sheetNames(tables []*Table) []string {
	var names []string
	taken := map[string]bool{}
	for _, t := range tables {
		name := t.Name[:min(len(t.Name), excelize.MaxSheetNameLength)]
		for n := 2; taken[strings.ToLower(name)]; n++ {
			end := fmt.Sprintf("~%d", n)
			name = t.Name[:min(len(t.Name), excelize.MaxSheetNameLength-len(end))] + end
		}
		taken[strings.ToLower(name)] = true
		names = append(names, name)
	}
	return names
}

// whole is the rows of a table, its header first.
func (t *Table) whole() [][]string { return append([][]string{t.Head}, t.Rows...) }

// WriteCSV writes the table for a spreadsheet.
func (t *Table) WriteCSV(w io.Writer) error { return WriteCSV(w, t.whole()) }

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
