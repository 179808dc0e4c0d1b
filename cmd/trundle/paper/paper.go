// Package paper is a document to print and to sign: sections of tables and
// drawings, written as one HTML page that needs nothing else, as a workbook,
// and as CSV tables.
package paper

import "html/template"

// Paper is a document.
type Paper struct {
	Title    string
	Lines    []string // below the title
	Caution  string
	Sections []Section
}

// Section is a part of it with a heading.
type Section struct {
	ID      string // small letters, digits and hyphens
	Title   string
	Verdict string   // what it comes to, set large
	Text    []string // paragraphs
	Break   bool     // begins a page
	Parts   []Part
	Inside  bool // stands under the section before it
}

// Part is a drawing, a table, tags to cut out, two beside each other, or lines
// to sign on.
type Part struct {
	Drawing *Drawing
	Table   *Table
	Tags    []Tag
	Sign    []string // who signs
}

// Table is rows under a header. One that is Apart is in the workbook and in a
// file of its own only, being too long to print.
type Table struct {
	Name    string // of its file and sheet
	Caption string
	Head    []string
	Rows    [][]string
	Colour  int // the column of wire colours, counted from 1; 0 for none
	Group   int // the column whose rows stand together under it, likewise
	Apart   bool
}

// Tag is a label for the end of a cable, a line a string.
type Tag []string

// Drawing is a drawing that says in words what it shows.
type Drawing struct {
	Title, Text   string
	Width, Height int
	body          template.HTML
}

// Tables are all tables of a paper, in its order.
func (p *Paper) Tables() []*Table {
	var list []*Table
	for _, s := range p.Sections {
		for _, part := range s.Parts {
			if part.Table != nil {
				list = append(list, part.Table)
			}
		}
	}
	return list
}

// Drawings are the drawings of a section, in its order.
func (s Section) Drawings() (list []*Drawing) {
	for _, part := range s.Parts {
		if part.Drawing != nil {
			list = append(list, part.Drawing)
		}
	}
	return list
}
