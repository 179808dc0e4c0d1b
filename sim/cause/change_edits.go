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
	var switches, joins []string
	for _, s := range c.switches {
		switches = append(switches, p.switchText(s))
	}
	for _, j := range c.joins {
		joins = append(joins, p.joinText(j))
	}
	return slices.Concat(
		p.hung(c),
		edited("", p.r.Switch, c.unswitch, switches, p.switchText, partOfSwitch, func(s wiring.Switch) (finding.Place, int) { return s.At, s.Len() }),
		edited(p.r.At.Joins.File, p.r.Joins, c.unjoin, joins, p.joinText, partOfJoin, func(j wiring.Join) (finding.Place, int) { return j.At, len(j.From) }),
	)
}

// hung are the edits of the wiring. What is hung anew goes into the row that
// it continues, if that is altered anyhow.
func (p paper) hung(c change) []Edit {
	if len(c.unhang)+len(c.hang) == 0 {
		return nil
	}
	var edits []Edit
	fresh := make([]wiring.Row, len(c.hang))
	for i, row := range c.hang {
		fresh[i] = p.inCable(p.asPlanned(row))
	}
	rows := p.r.Soldered()
	fewer := false // spare pins, of which a row is written anyhow
	for e := range c.unhang {
		fewer = fewer || rows[e.row].Kind == wiring.SpareKind
	}
	for i, row := range rows {
		keep, touched := kept(c.unhang, i, len(row.Pins))
		if !touched {
			continue
		}
		keep = slices.DeleteFunc(keep, func(at int) bool { return at >= len(row.Items) }) // pins on which it hangs nothing
		e := Edit{At: row.At, Old: p.wiringText(row)}
		var stays []wiring.Row
		if len(keep) > 0 {
			stays = []wiring.Row{partOfRow(row, keep)}
		}
		stood := len(stays)
		fresh = slices.DeleteFunc(fresh, func(f wiring.Row) bool {
			if continues(row, f) && (f.Kind != wiring.SpareKind || row.Kind == wiring.SpareKind || !fewer) {
				stays = append(stays, f)
				return true
			}
			return false
		})
		if len(stays) > stood {
			stays = hangInRuns(oneByOne(stays))
		}
		for _, row := range stays {
			e.New = append(e.New, p.wiringText(row))
		}
		edits = append(edits, e)
	}
	var rest []written
	for _, row := range fresh {
		rest = append(rest, written{p.wiringText(row), p.r.Home(p.r.Soldered(), row.Pins[0].On)})
	}
	return withFresh(edits, rest)
}

// continues reports whether a new row hangs more of what a row hangs, in the
// same cable, or something else on the pins of the row.
func continues(row, fresh wiring.Row) bool {
	if len(row.Pins) == 0 || len(row.Items) == 0 || len(fresh.Pins) != len(fresh.Items) {
		return false
	}
	a, b := row.Items[0], fresh.Items[0]
	if slices.Equal(row.Pins, fresh.Pins) {
		return true
	}
	return row.Pins[0].On == fresh.Pins[0].On && a.Kind == b.Kind && a.Index == b.Index && a.Of == b.Of && (a.Note != 0 || a.Kind == wiring.SpareKind) &&
		row.Cable == fresh.Cable && row.Group == fresh.Group && (row.Wires == nil) == (fresh.Wires == nil)
}

// oneByOne is rows of one place each.
func oneByOne(rows []wiring.Row) (singles []wiring.Row) {
	for _, row := range rows {
		for at := range row.Pins {
			singles = append(singles, partOfRow(row, []int{at}))
		}
	}
	return singles
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

// edited are the edits of one table; file is where rows are added when it has none.
func edited[R any](file string, rows []R, out map[element]bool, fresh []string, text func(R) string, part func(R, []int) R, of func(R) (finding.Place, int)) []Edit {
	if len(out)+len(fresh) == 0 {
		return nil
	}
	var edits []Edit
	touched := rowsOf(out)
	for i, row := range rows {
		at, length := of(row)
		file = at.File
		if touched[i] {
			keep, _ := kept(out, i, length)
			e := Edit{At: at, Old: text(row)}
			if len(keep) > 0 {
				e.New = []string{text(part(row, keep))}
			}
			edits = append(edits, e)
		}
	}
	rest := make([]written, len(fresh))
	for i, text := range fresh {
		rest[i] = written{text, file}
	}
	return withFresh(edits, rest)
}

// written is the text of a new row, and the file in which it should stand.
type written struct{ text, file string }

// withFresh adds new rows to edits: each for the row that is taken out and most
// like it, others for the first one of their file, or at its end.
func withFresh(edits []Edit, fresh []written) []Edit {
	for len(fresh) > 0 {
		row, to, least := 0, -1, 0
		for i, f := range fresh {
			for k, e := range edits {
				if apart := cellsApart(e.Old, f.text)*1000 - alikeUpTo(e.Old, f.text); len(e.New) == 0 && (to < 0 || apart < least) {
					row, to, least = i, k, apart
				}
			}
		}
		if to < 0 {
			break
		}
		edits[to].New = []string{fresh[row].text}
		fresh = slices.Delete(slices.Clone(fresh), row, row+1)
	}
	for _, f := range fresh {
		to := slices.IndexFunc(edits, func(e Edit) bool { return e.At.File == f.file })
		if to < 0 {
			to, edits = len(edits), append(edits, Edit{At: finding.Place{File: f.file}})
		}
		edits[to].New = append(edits[to].New, f.text)
	}
	return edits
}

// alikeUpTo is how many characters of two rows are the same from the left on.
func alikeUpTo(a, b string) int {
	n := 0
	for n < min(len(a), len(b)) && a[n] == b[n] {
		n++
	}
	return n
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
