package cause

import (
	"slices"
	"strings"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/wiring"
)

// paper writes rows as the files of a relay do.
type paper struct {
	in *console.Instrument
	r  *wiring.Relay
}

// edits are the rows that a change alters, as the files write them: each row
// that loses some of its places by what is left of it, and the new rows. New
// rows stand for the first row of their table that is altered, or at its end.
func (p paper) edits(c change) []Edit {
	var hang, switches, joins []string
	for _, row := range c.hang {
		hang = append(hang, p.wiringText(p.asPlanned(row)))
	}
	for _, s := range c.switches {
		switches = append(switches, p.switchText(s))
	}
	for _, j := range c.joins {
		joins = append(joins, p.joinText(j))
	}
	soldered := p.r.Soldered()
	return slices.Concat(
		edited(soldered, c.unhang, hang, p.wiringText, partOfRow, func(row wiring.Row) (finding.Place, int) { return row.At, len(row.Pins) }),
		edited(p.r.Switch, c.unswitch, switches, p.switchText, partOfSwitch, func(s wiring.Switch) (finding.Place, int) { return s.At, s.Len() }),
		edited(p.r.Joins, c.unjoin, joins, p.joinText, partOfJoin, func(j wiring.Join) (finding.Place, int) { return j.At, len(j.From) }),
	)
}

// asPlanned is a new row with the cable and wires that the plan has for what it
// hangs, where it hangs all of it as one row of the plan does.
func (p paper) asPlanned(row wiring.Row) wiring.Row {
	if row.Cable != "" || len(row.Pins) == 0 {
		return row
	}
	for _, plan := range p.r.Plan {
		if plan.Cable == "" || len(plan.Wires) != len(plan.Pins) || !slices.Contains(plan.Pins, row.Pins[0]) {
			continue
		}
		var wires []int
		for i, pin := range row.Pins {
			if at := slices.Index(plan.Pins, pin); at >= 0 && at < len(plan.Items) && i < len(row.Items) && plan.Items[at] == row.Items[i] {
				wires = append(wires, plan.Wires[at])
			}
		}
		if len(wires) == len(row.Pins) {
			row.Cable, row.Wires = plan.Cable, wires
		}
		break
	}
	return row
}

// edited are the edits of one table.
func edited[R any](rows []R, out map[element]bool, fresh []string, text func(R) string, part func(R, []int) R, of func(R) (finding.Place, int)) []Edit {
	var edits []Edit
	file := ""
	for i, row := range rows {
		at, length := of(row)
		file = at.File
		if keep, touched := kept(out, i, length); touched {
			e := Edit{At: at, Old: text(row)}
			if len(keep) > 0 {
				e.New = []string{text(part(row, keep))}
			}
			edits = append(edits, e)
		}
	}
	switch {
	case len(fresh) == 0:
	case len(edits) > 0:
		edits[0].New = append(edits[0].New, fresh...)
	default:
		edits = append(edits, Edit{At: finding.Place{File: file}, New: fresh})
	}
	return edits
}

func (p paper) switchText(s wiring.Switch) string {
	var b strings.Builder
	_ = wiring.WriteSwitching(&b, p.r, []wiring.Switch{s}) // a strings.Builder does not fail
	return lastLine(b.String())
}

func (p paper) wiringText(row wiring.Row) string {
	var b strings.Builder
	_ = wiring.WriteWiring(&b, p.r, p.in, []wiring.Row{row})
	return lastLine(b.String())
}

func (p paper) joinText(j wiring.Join) string {
	var b strings.Builder
	_ = wiring.WriteJoins(&b, p.r, []wiring.Join{j})
	return lastLine(b.String())
}

func lastLine(text string) string {
	lines := strings.Split(strings.TrimSpace(text), "\n")
	return lines[len(lines)-1]
}
