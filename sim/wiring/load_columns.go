package wiring

import (
	"slices"
	"strings"
	"unicode"

	"trundle/console/finding"
	"trundle/console/yamldoc"
	"trundle/sim/table"
)

// ignored is what `columns` calls a column of a shop's sheet that says nothing
// about the wiring.
const ignored = "ignore"

// shopColumns are the columns of a wiring table with the names that a shop's
// own sheets give them: `columns: {Pin: pins, Remarks: ignore}`.
func (rd *reader) shopColumns(f yamldoc.Fields) []table.Column {
	columns := slices.Clone(wiringColumns)
	var names []string
	for _, c := range columns {
		names = append(names, c.Name)
	}
	for _, p := range f.Map("columns") {
		shop := strings.ToLower(strings.TrimSpace(p.Key.Text))
		name := rd.Text(p.Value)
		at := slices.Index(names, name)
		switch own := slices.Index(names, shop); {
		case p.Value.Kind != yamldoc.Scalar: // noted
		case name == ignored && own >= 0, at >= 0 && own >= 0 && own != at:
			rd.Wrong(p.Key, "give the sheet's column another name", "%s is the name of a column already", p.Key.Text)
		case name == ignored:
			columns = append(columns, table.Column{Name: shop})
		case at >= 0:
			columns[at].Also = append(slices.Clip(columns[at].Also), shop)
		default:
			fix := finding.DidYouMean(name, append(names, ignored))
			if fix == "" {
				fix = "the columns are " + strings.Join(names, ", ") + ", or " + ignored
			}
			rd.Wrong(p.Value, fix, "no column %s", name)
		}
	}
	return columns
}

// plainKey is a quoted name without its quotes, where YAML reads it so too.
func plainKey(quoted string) string {
	plain := strings.Trim(quoted, `"`)
	if strings.ContainsFunc(plain, func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != ' ' && r != '.' && r != '/'
	}) {
		return quoted
	}
	return plain
}
