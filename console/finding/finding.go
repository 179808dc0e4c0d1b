// Package finding is how the project says that something is wrong: a rule, a
// severity, the place in the file, one line of text, and what to do about it.
// A rule returns findings and never prints.
package finding

import (
	"cmp"
	"fmt"
	"slices"
)

// Severity is how much a finding weighs; only an Error makes an answer bad.
type Severity string

const (
	Error   Severity = "error"
	Warning Severity = "warning"
	Note    Severity = "note"
)

// Place is a position in a file. Lines and columns count from 1, columns in
// characters; 0 means that the whole file, or the whole line, is meant.
// The file of a spreadsheet carries its sheet: `pins.xlsx#Sheet1`.
type Place struct {
	File   string
	Line   int
	Column int
}

// String is file:line:column, without the parts that are 0.
func (p Place) String() string {
	switch {
	case p.Line == 0:
		return p.File
	case p.Column == 0:
		return fmt.Sprintf("%s:%d", p.File, p.Line)
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
}

// Compare orders places by file, line and column.
func (p Place) Compare(q Place) int {
	return cmp.Or(cmp.Compare(p.File, q.File), cmp.Compare(p.Line, q.Line), cmp.Compare(p.Column, q.Column))
}

// Finding is one thing that is wrong, or worth knowing, at one place.
type Finding struct {
	Rule     string
	Severity Severity
	Place
	Message string    // one line: what is wrong
	Fix     string    // one line: what to do; may be empty
	Related []Related // other places that belong to it
}

// Related is a further place of a finding and what stands there.
type Related struct {
	Place
	Message string
}

// Rules whose findings mean that a file has no meaning: it is broken, and
// nothing is derived from it. Every other rule leaves a meaning.
const (
	NoMeaning   = "no-meaning"   // syntax, unknown field, bad note, footage or range
	UnknownID   = "unknown-id"   // a name that nothing carries
	DuplicateID = "duplicate-id" // one name for two things
	OtherFormat = "other-format" // `format` is not 1: no command can read the file
)

// Broken reports whether any of the findings leaves its file without meaning.
func Broken(list []Finding) bool {
	return slices.ContainsFunc(list, func(f Finding) bool {
		return f.Rule == NoMeaning || f.Rule == UnknownID || f.Rule == DuplicateID || f.Rule == OtherFormat
	})
}

// Sort orders findings by file, line, column, rule and message.
func Sort(list []Finding) {
	slices.SortStableFunc(list, func(a, b Finding) int {
		return cmp.Or(a.Place.Compare(b.Place), cmp.Compare(a.Rule, b.Rule), cmp.Compare(a.Message, b.Message))
	})
}

// Count is the number of findings of one severity.
func Count(list []Finding, s Severity) int {
	n := 0
	for _, f := range list {
		if f.Severity == s {
			n++
		}
	}
	return n
}
