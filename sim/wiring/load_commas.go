package wiring

import (
	"slices"
	"strings"

	"trundle/console/finding"
	"trundle/sim/table"
)

// asRead is what a row was read as.
type asRead interface {
	names() []string // that other rows may have too
	even() bool      // its ranges are of one length
}

// rowsOf reads the rows of a table. Where one has no meaning and would have one
// with a comma more, or less, that is said in the place of what follows from it;
// and so where one is too long and has a name of its own.
func rowsOf[R asRead](rd *reader, t *table.Table, read func(table.Row) R) []R {
	rows := make([]R, len(t.Rows))
	for i, cells := range t.Rows {
		rows[i] = read(cells)
	}
	bad := map[int][]int{} // findings by line
	for i, f := range rd.found {
		if f.File == t.File {
			bad[f.Line] = append(bad[f.Line], i)
		}
	}
	const many = 100 // are no slips of a hand
	if len(bad) > many {
		return rows
	}
	known := map[string]int{} // in how many rows
	if rd.cables != nil {
		for name := range rd.cables.index {
			known[name] = 2
		}
	}
	for i, row := range rows {
		if len(bad[t.Rows[i][0].Line]) == 0 {
			for _, name := range row.names() {
				known[name]++
			}
		}
	}
	slipped := map[int]finding.Finding{}
	for i, cells := range t.Rows {
		line, length := cells[0].Line, t.Cells(i)
		if len(bad[line]) == 0 && (length == "" || strangeIn(rows[i], known, 1) == 0) {
			continue
		}
		best, strange := rd.repaired(t.Repairs(i), known, func(cells table.Row) asRead { return read(cells) })
		if len(best) > 0 && (strange == 0 || len(bad[line]) > 1) {
			slipped[line] = finding.Finding{Rule: finding.NoMeaning, Severity: finding.Error, Place: t.Place(best[0].At),
				Message: best[0].Says, Fix: "write " + eitherText(best)}
		} else if length != "" && len(bad[line]) > 1 {
			rd.found[bad[line][0]].Message += "; " + length
		}
	}
	rd.found = slices.DeleteFunc(rd.found, func(f finding.Finding) bool {
		_, is := slipped[f.Line]
		return is && f.File == t.File
	})
	for _, f := range slipped {
		rd.found = append(rd.found, f)
	}
	return rows
}

// repaired are the repairs of a row that give it a meaning: those that have
// fewest names that no other row has, and how many these are.
func (rd *reader) repaired(repairs []table.Repair, known map[string]int, read func(table.Row) asRead) (best []table.Repair, strange int) {
	found := rd.found
	defer func() { rd.found = found }()
	for _, r := range repairs {
		rd.found = nil
		row := read(r.Row)
		if len(rd.found) > 0 || !row.even() {
			continue
		}
		n := strangeIn(row, known, 0)
		if len(best) == 0 || n < strange {
			best, strange = nil, n
		}
		if n == strange {
			best = append(best, r)
		}
	}
	return best, strange
}

// strangeIn is how many names of a row stand in no more rows than so many.
func strangeIn(row asRead, known map[string]int, rows int) (n int) {
	for _, name := range row.names() {
		if known[name] <= rows {
			n++
		}
	}
	return n
}

// eitherText is a row as it may be written, or two or three.
func eitherText(repairs []table.Repair) string {
	var list []string
	for _, r := range repairs[:min(len(repairs), 3)] {
		list = append(list, r.Text)
	}
	return strings.Join(list, " or ")
}

func (r Row) names() []string { return namesIn(r.Cable, r.Group) }

func (r Row) even() bool {
	return len(r.Pins) == len(r.Items) && (r.Wires == nil || len(r.Wires) == len(r.Pins))
}

func (j Join) names() []string { return namesIn(j.Cable) }

func (j Join) even() bool {
	return len(j.From) == len(j.To) && (j.Wires == nil || len(j.Wires) == len(j.From))
}

func (s Switch) names() []string {
	list := namesIn(s.Line, s.To)
	for _, l := range s.Control {
		list = append(list, l.Label)
	}
	return list
}

func (s Switch) even() bool {
	return s.Line == "" || len(s.Notes) == max(len(s.Pins), len(s.ToNotes))
}

func namesIn(names ...string) []string {
	return slices.DeleteFunc(names, func(name string) bool { return name == "" })
}
