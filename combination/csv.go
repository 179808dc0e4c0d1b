package combination

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"strings"
	"unicode/utf8"

	"trundle/console/finding"
)

// WriteCSV writes the combinations as a CSV file.
func (m *Memories) WriteCSV(w io.Writer) error {
	out := csv.NewWriter(w)
	for _, row := range m.Sheet() {
		for i := range row {
			row[i] = unformula(row[i])
		}
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// unformula puts a quote before a cell that a spreadsheet would calculate.
func unformula(cell string) string {
	if cell != "" && strings.ContainsRune("=+-@", rune(cell[0])) {
		return "'" + cell
	}
	return cell
}

// ReadCSV is the memories with the combinations of a CSV file put in the place
// of what they had there: with comma, semicolon or tab between its cells.
func (m *Memories) ReadCSV(file string, data []byte) (*Memories, []finding.Finding) {
	wrong := func(line int, message string) (*Memories, []finding.Finding) {
		return nil, []finding.Finding{{Rule: finding.NoMeaning, Severity: finding.Error,
			Place: finding.Place{File: file, Line: line}, Message: message}}
	}
	if !utf8.Valid(data) {
		return wrong(1, "is no text in UTF-8; save the sheet as CSV in UTF-8")
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	in := csv.NewReader(bytes.NewReader(data))
	in.Comma, in.Comment, in.FieldsPerRecord, in.TrimLeadingSpace = separator(data), '#', -1, true
	if in.Comma == '\t' {
		in.TrimLeadingSpace = false // it would eat empty cells
	}
	var rows []sheetRow
	for {
		cells, err := in.Read()
		var syntax *csv.ParseError
		switch {
		case err == io.EOF:
			return m.readSheet(file, rows)
		case errors.As(err, &syntax):
			return wrong(syntax.Line, syntax.Err.Error())
		case err != nil:
			return wrong(0, err.Error())
		}
		line, _ := in.FieldPos(0)
		rows = appendRow(rows, line, cells)
	}
}

// appendRow adds a row unless it is blank.
func appendRow(rows []sheetRow, line int, cells []string) []sheetRow {
	blank := true
	for i := range cells {
		cells[i] = strings.TrimPrefix(strings.TrimSpace(cells[i]), "'")
		blank = blank && cells[i] == ""
	}
	if blank {
		return rows
	}
	return append(rows, sheetRow{line, cells})
}

// separator is what separates the cells of a file: whichever of them its
// header has most of.
func separator(data []byte) rune {
	header := data
	for line := range bytes.Lines(data) {
		if text := bytes.TrimSpace(line); len(text) > 0 && text[0] != '#' {
			header = line
			break
		}
	}
	best, most := ',', 0
	for _, r := range ",;\t" {
		if n := bytes.Count(header, []byte(string(r))); n > most {
			best, most = r, n
		}
	}
	return best
}
