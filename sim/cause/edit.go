package cause

import (
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
// that loses some of its places by what is left of it, and the new rows.
func (p paper) edits(c change, file finding.Place) []Edit {
	var edits []Edit
	for i, row := range p.r.Soldered() {
		if keep, touched := kept(c.unhang, i, len(row.Pins)); touched {
			edits = append(edits, edit(row.At, p.wiringText(row), p.wiringText(partOfRow(row, keep)), len(keep)))
		}
	}
	for i, s := range p.r.Switch {
		if keep, touched := kept(c.unswitch, i, s.Len()); touched {
			edits = append(edits, edit(s.At, p.switchText(s), p.switchText(partOfSwitch(s, keep)), len(keep)))
		}
	}
	for i, j := range p.r.Joins {
		if keep, touched := kept(c.unjoin, i, len(j.From)); touched {
			edits = append(edits, edit(j.At, p.joinText(j), p.joinText(partOfJoin(j, keep)), len(keep)))
		}
	}
	var fresh []string
	for _, row := range c.hang {
		fresh = append(fresh, p.wiringText(row))
	}
	for _, s := range c.switches {
		fresh = append(fresh, p.switchText(s))
	}
	for _, j := range c.joins {
		fresh = append(fresh, p.joinText(j))
	}
	switch {
	case len(fresh) == 0:
	case len(edits) > 0:
		edits[0].New = append(edits[0].New, fresh...)
	default:
		edits = append(edits, Edit{At: finding.Place{File: file.File}, New: fresh})
	}
	return edits
}

// kept are the places of a row that are not taken out.
func kept(out map[element]bool, row, length int) (keep []int, touched bool) {
	for at := range length {
		if out[element{row, at}] {
			touched = true
		} else {
			keep = append(keep, at)
		}
	}
	return keep, touched
}

func edit(at finding.Place, old, left string, length int) Edit {
	e := Edit{At: at, Old: old}
	if length > 0 {
		e.New = []string{left}
	}
	return e
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
