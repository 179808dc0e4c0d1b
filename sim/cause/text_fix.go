package cause

import (
	"encoding/csv"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"trundle/console/finding"
	"trundle/sim/table"
)

// filed is edits as the files write their rows: in the order and with the
// separator of each, with its other cells, and with those that say the same
// before and after as they stand there.
func (p paper) filed(edits []Edit) []Edit {
	filed := make([]Edit, len(edits))
	for i, e := range edits {
		filed[i] = e
		form, known := p.r.Forms[e.At.File]
		if !known {
			continue
		}
		row := p.rowAt(e.At)
		old := cellsOf(e.Old)
		if e.Old != "" {
			filed[i].Old = form.Line(form.Cells(nil, row))
		}
		filed[i].New = nil
		for _, text := range e.New {
			fresh := cellsOf(text)
			for at := range min(len(fresh), len(old), len(row)) {
				if fresh[at] == old[at] {
					fresh[at] = row[at].Text
				}
			}
			filed[i].New = append(filed[i].New, form.Line(form.Cells(fresh, row)))
		}
	}
	return filed
}

// rowAt are the cells of the row that begins at a place; nil for none.
func (p paper) rowAt(at finding.Place) table.Row {
	for _, row := range p.r.Soldered() {
		if row.At == at {
			return row.Cells
		}
	}
	for _, j := range p.r.Joins {
		if j.At == at {
			return j.Cells
		}
	}
	for _, s := range p.r.Switch {
		if s.At == at {
			return s.Cells
		}
	}
	return nil
}

// cellsOf are the cells of a row in the order of the columns as documented.
func cellsOf(text string) []string {
	cells, _ := csv.NewReader(strings.NewReader(text)).Read() // of what a csv.Writer wrote; none of ""
	return cells
}

// fix says what to do: in the row that a finding names, and in others, which it
// names itself.
func (p paper) fix(at finding.Place, cure []Edit) string {
	var parts []string
	for _, e := range cure {
		file, where := filepath.Base(e.At.File), ""
		switch {
		case e.At.File != at.File:
			where = fmt.Sprintf("in %s:%d ", file, e.At.Line)
		case e.At.Line != at.Line:
			where = fmt.Sprintf("in line %d ", e.At.Line)
		}
		fresh := slices.Clone(e.New)
		form, known := p.r.Forms[e.At.File]
		sheet := known && form.Comma == 0
		switch {
		case e.Old != "" && len(e.New) == 0:
			parts = append(parts, where+"take the row out")
		case e.Old != "" && sheet:
			if e.At.File == at.File {
				where = "" // the cells say their row
			}
			parts, fresh = append(parts, where+form.Rewrite(e.At.Line, e.Old, e.New[0])), fresh[1:]
		case e.Old != "":
			parts, fresh = append(parts, where+"write "+strings.Join(e.New, " and ")), nil
		}
		for i, line := range fresh {
			if sheet {
				fresh[i] = form.Say(line)
			}
		}
		if len(fresh) > 0 {
			what := "row"
			if len(fresh) > 1 {
				what = "rows"
			}
			parts = append(parts, fmt.Sprintf("add to %s the %s %s", file, what, strings.Join(fresh, " and ")))
		}
	}
	const many = 6
	if len(parts) > many {
		parts = append(parts[:many-1], fmt.Sprintf("%d more; --format json lists them", len(parts)-many+1))
	}
	return strings.Join(parts, " and then ")
}
