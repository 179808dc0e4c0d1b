package table

import (
	"strings"
	"unicode/utf8"

	"trundle/console/finding"
)

// Parse reads a CSV text: comma, semicolon or tab, whichever stands first in
// the header row; cells in quotes where they hold a separator, a line end or
// (doubled) a quote; lines starting with # are comments, blank rows nothing. A
// line end inside a cell reads as a blank.
// It keeps whatever rows are sound next to the findings about the others, and
// none where a required column is missing.
func Parse(file, text string, want []Column) (*Table, []finding.Finding) {
	t := &Table{File: file}
	if strings.Contains(text, "\r") {
		text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	}
	s := scanner{text: text, line: 1, column: 1}
	var top heading
	var found []finding.Finding
	for s.skipComments() {
		if !top.complete {
			s.comma = separator(s.restOfLine())
		}
		cells, bad := s.row()
		switch {
		case bad != nil:
			bad.File = file
			found = append(found, *bad)
			if top.header == nil {
				return t, found
			}
		case blank(cells):
		case !top.complete:
			top.read(t, cells, want)
			t.header, t.comma = top.header, s.comma
		default:
			found = append(found, t.add(top.header, len(want), cells)...)
		}
	}
	found = append(top.found, found...)
	if top.header == nil {
		found = append(found, finding.Finding{Rule: finding.NoMeaning, Severity: finding.Error, Place: finding.Place{File: file},
			Message: "the table is empty", Fix: "the first row names the columns: " + names(want)})
	}
	return t, found
}

// separator is what a header row separates its names by.
func separator(line string) byte {
	if i := strings.IndexAny(line, ",;\t"); i >= 0 {
		return line[i]
	}
	return ','
}

func blank(cells []Cell) bool {
	for _, c := range cells {
		if c.Text != "" {
			return false
		}
	}
	return true
}

// scanner walks a text cell by cell and counts lines and characters.
type scanner struct {
	text         string // what is left
	line, column int    // of its first character
	comma        byte
	cells        []Cell // of the row last read; used again for the next
}

// skipComments goes to the first row that is no comment, if there is one.
func (s *scanner) skipComments() bool {
	for strings.HasPrefix(s.text, "#") {
		s.pass(len(s.restOfLine()))
		s.passLineEnd()
	}
	return s.text != ""
}

func (s *scanner) restOfLine() string {
	if end := strings.IndexByte(s.text, '\n'); end >= 0 {
		return s.text[:end]
	}
	return s.text
}

// pass goes over n bytes that hold no line end.
func (s *scanner) pass(n int) {
	s.column += utf8.RuneCountInString(s.text[:n])
	s.text = s.text[n:]
}

func (s *scanner) passLineEnd() {
	if s.text != "" {
		s.text, s.line, s.column = s.text[1:], s.line+1, 1
	}
}

func (s *scanner) passBlanks() {
	n := 0
	for n < len(s.text) && (s.text[n] == ' ' || s.text[n] == '\t') && s.text[n] != s.comma {
		n++
	}
	s.pass(n)
}

// row reads one row and its line end. After a finding it stands at the next line.
func (s *scanner) row() ([]Cell, *finding.Finding) {
	s.cells = s.cells[:0]
	for {
		cell, bad := s.cell()
		if bad != nil {
			s.pass(len(s.restOfLine()))
			s.passLineEnd()
			return nil, bad
		}
		s.cells = append(s.cells, cell)
		if s.text == "" || s.text[0] == '\n' {
			s.passLineEnd()
			return s.cells, nil
		}
		s.pass(1)
	}
}

// cell reads one cell, up to its separator, line end or the end of the text.
func (s *scanner) cell() (Cell, *finding.Finding) {
	s.passBlanks()
	c := Cell{Line: s.line, Column: s.column}
	if strings.HasPrefix(s.text, `"`) {
		return s.quoted(c)
	}
	end := 0
	for end < len(s.text) && s.text[end] != s.comma && s.text[end] != '\n' {
		if s.text[end] == '"' {
			s.pass(end)
			return c, s.refuse("a quote stands inside a cell", `write the whole cell in quotes and each quote in it twice: "3"" pipe"`)
		}
		end++
	}
	c.Text = strings.TrimSpace(s.text[:end])
	s.pass(end)
	return c, nil
}

// quoted reads a cell in quotes.
func (s *scanner) quoted(c Cell) (Cell, *finding.Finding) {
	open := finding.Place{Line: s.line, Column: s.column}
	s.pass(1)
	var text strings.Builder
	for {
		end := strings.IndexAny(s.text, "\"\n")
		if end < 0 {
			s.pass(len(s.text))
			return c, &finding.Finding{Rule: finding.NoMeaning, Severity: finding.Error, Place: open,
				Message: "the quote that opens here is never closed", Fix: "close it at the end of its cell"}
		}
		text.WriteString(s.text[:end])
		s.pass(end)
		switch {
		case s.text[0] == '\n':
			text.WriteByte(' ')
			s.passLineEnd()
			continue
		case strings.HasPrefix(s.text, `""`):
			text.WriteByte('"')
			s.pass(2)
			continue
		}
		s.pass(1)
		s.passBlanks()
		if s.text != "" && s.text[0] != s.comma && s.text[0] != '\n' {
			return c, s.refuse("text follows the quote that closes its cell", `write the whole cell in quotes and each quote in it twice: "3"" pipe"`)
		}
		c.Text = strings.TrimSpace(text.String())
		return c, nil
	}
}

func (s *scanner) refuse(message, fix string) *finding.Finding {
	return &finding.Finding{Rule: finding.NoMeaning, Severity: finding.Error,
		Place: finding.Place{Line: s.line, Column: s.column}, Message: message, Fix: fix}
}
