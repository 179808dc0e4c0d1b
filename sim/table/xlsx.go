package table

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"

	"github.com/xuri/excelize/v2"

	"trundle/console/finding"
)

// Most rows and columns of a sheet that are read, and most bytes that a
// workbook may unpack to.
const (
	maxRows     = 200_000
	maxColumns  = 200
	maxUnzipped = 64 << 20
)

// workbook takes a path like pins.xlsx#Sheet1 apart; ok is false for a path of
// no workbook.
func workbook(path string) (book, sheet string, ok bool) {
	lower := strings.ToLower(path)
	if strings.HasSuffix(lower, ".xlsx") {
		return path, "", true
	}
	if i := strings.Index(lower, ".xlsx#"); i >= 0 {
		return path[:i+len(".xlsx")], path[i+len(".xlsx#"):], true
	}
	return "", "", false
}

// ParseXLSX reads one sheet of a workbook, the only one where none is named,
// as Parse reads a CSV text. Text and whole numbers are read as they are shown.
// What a spreadsheet made of something else is refused with its cell, and its
// row left out: a date, a number with a point or in a format, a formula whose
// value the file does not hold, true and false. So are merged cells, of which all but one would be empty.
func ParseXLSX(file, sheet string, data []byte, want []Column) (t *Table, found []finding.Finding) {
	wrong := func(fix, format string, args ...any) (*Table, []finding.Finding) {
		return nil, []finding.Finding{{Rule: finding.NoMeaning, Severity: finding.Error, Place: finding.Place{File: file},
			Message: fmt.Sprintf(format, args...), Fix: fix}}
	}
	defer func() {
		if p := recover(); p != nil { // the library's, on a workbook that is none
			t, found = wrong("save it again as .xlsx, or as CSV in UTF-8", "is no workbook that can be read")
		}
	}()
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{UnzipSizeLimit: maxUnzipped, UnzipXMLSizeLimit: maxUnzipped})
	if err != nil {
		return wrong("save it again as .xlsx of at most 64 MB unpacked, or as CSV in UTF-8", "is no workbook that can be read: %s", oneLine(err.Error()))
	}
	defer f.Close()
	sheets := f.GetSheetList()
	switch {
	case sheet == "" && len(sheets) == 1:
		sheet = sheets[0]
	case sheet == "":
		return wrong(fmt.Sprintf("name one, like %s#%s", baseName(file), oneLine(sheets[0])), "has %d sheets", len(sheets))
	}
	if i, err := f.GetSheetIndex(sheet); err != nil || i < 0 {
		return wrong(didYouMean(sheet, sheets), "has no sheet %s", oneLine(sheet))
	}
	s := &sheetReader{File: f, sheet: sheet, table: &Table{File: file + "#" + sheet}}
	if message := s.measure(); message != "" {
		return wrong("save it again as .xlsx, or as CSV in UTF-8", "%s", message)
	}
	s.read(want)
	return s.table, s.found
}

func baseName(path string) string { return path[strings.LastIndexAny(path, `/\`)+1:] }

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

func didYouMean(name string, known []string) string {
	if fix := finding.DidYouMean(name, known); fix != "" {
		return fix
	}
	return "its sheets are " + oneLine(strings.Join(known, ", "))
}

// sheetReader reads one sheet of a workbook.
type sheetReader struct {
	*excelize.File
	sheet string
	table *Table
	found []finding.Finding
	rows  [][]string // raw
}

// measure reads the raw cells as a stream, so that a sheet of a few far cells
// cannot fill the memory, and says what is too much.
func (s *sheetReader) measure() (message string) {
	rows, err := s.Rows(s.sheet)
	if err != nil {
		return "cannot be read: " + oneLine(err.Error())
	}
	defer rows.Close()
	for rows.Next() {
		row, err := rows.Columns(excelize.Options{RawCellValue: true})
		switch {
		case err != nil:
			return "cannot be read: " + oneLine(err.Error())
		case len(row) > maxColumns:
			return fmt.Sprintf("has more than %d columns", maxColumns)
		case len(s.rows) >= maxRows:
			return fmt.Sprintf("has more than %d rows", maxRows)
		}
		s.rows = append(s.rows, row)
	}
	if err := rows.Error(); err != nil {
		return "cannot be read: " + oneLine(err.Error())
	}
	return ""
}

func (s *sheetReader) read(want []Column) {
	if merged, err := s.GetMergeCells(s.sheet); err == nil && len(merged) > 0 {
		for _, m := range merged {
			column, line, err := excelize.CellNameToCoordinates(m.GetStartAxis())
			if err == nil {
				s.refuse(Cell{Line: line, Column: column}, "split them, and write the text in each", "%s:%s are merged", m.GetStartAxis(), m.GetEndAxis())
			}
		}
		return
	}
	var top heading
	for i, raw := range s.rows {
		cells := make([]Cell, len(raw))
		before := len(s.found)
		for j := range raw {
			cells[j] = s.cell(i+1, j+1)
		}
		switch {
		case len(s.found) > before && top.header == nil:
			return
		case len(s.found) > before: // the row is named
		case len(cells) == 0 || blank(cells) || strings.HasPrefix(cells[0].Text, "#"):
		case !top.complete:
			top.read(s.table, cells, want)
			s.table.header = top.header
		default:
			s.found = append(s.found, s.table.add(top.header, len(want), cells)...)
		}
	}
	s.found = append(top.found, s.found...)
	if top.header == nil && len(s.found) == 0 {
		s.found = append(s.found, finding.Finding{Rule: finding.NoMeaning, Severity: finding.Error, Place: finding.Place{File: s.table.File},
			Message: "the table is empty", Fix: "the first row names the columns: " + names(want)})
	}
}

var wholeNumber = regexp.MustCompile(`^\d+$`)

// cell is what stands in a cell, or a finding about it.
func (s *sheetReader) cell(line, column int) Cell {
	c := Cell{Line: line, Column: column}
	name, err := excelize.CoordinatesToCellName(column, line)
	if err != nil {
		return c
	}
	shown, err := s.GetCellValue(s.sheet, name)
	if err == nil {
		shown = oneLine(shown)
	}
	kind, kindErr := s.GetCellType(s.sheet, name)
	formula, formulaErr := s.GetCellFormula(s.sheet, name)
	raw := s.rows[line-1][column-1]
	_, _, bad := unreadable(shown)
	const asText = "format the column as text and type it again"
	switch {
	case err != nil || kindErr != nil || formulaErr != nil:
		return s.refuse(c, asText, "%s cannot be read", name)
	case formula != "" && raw == "":
		return s.refuse(c, "put its value in its place, or let a spreadsheet work it out and save it", "%s is a formula whose value the file does not hold", name)
	case kind == excelize.CellTypeBool:
		return s.refuse(c, asText, "%s is true or false, not text", name)
	case kind == excelize.CellTypeError:
		return s.refuse(c, "put its value in its place", "%s holds an error", name)
	case bad != "":
		return s.refuse(c, asText, "%s holds a character that no text has", name)
	case kind == excelize.CellTypeFormula, kind == excelize.CellTypeSharedString, kind == excelize.CellTypeInlineString, raw == "" && shown == "":
		c.Text = shown
	case kind == excelize.CellTypeDate, strings.ContainsAny(shown, "-/:") && !strings.HasPrefix(shown, "-"):
		return s.refuse(c, asText+": a spreadsheet makes dates of ranges like 1-2", "%s is a date, shown as %s", name, shown)
	case !wholeNumber.MatchString(shown) || shown != raw:
		return s.refuse(c, asText, "%s is a number that is shown as %s, not a whole one written plainly", name, shown)
	default:
		c.Text = shown
	}
	return c
}

func (s *sheetReader) refuse(c Cell, fix, format string, args ...any) Cell {
	s.found = append(s.found, s.table.refuse(c, fmt.Sprintf(format, args...), fix))
	return c
}
