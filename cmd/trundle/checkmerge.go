package main

import (
	"slices"

	"trundle/console/finding"
	"trundle/sim/cause"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// isConsequence reports whether a finding may only follow from a mistake, in a join
// or elsewhere: others say themselves what it is.
func isConsequence(f finding.Finding, of cause.Cause, inJoin bool) bool {
	if of.InTable && (f.Rule == of.Rule || f.File != of.At.File || f.Line != of.At.Line) {
		return true
	}
	switch f.Rule {
	case "item-not-wired", "item-wired-twice", "pin-off-board", "pin-used-twice", "pin-unlisted", "ranges-differ", "row-twice", "wire-used-twice":
		return true
	case "net-open":
		return f.File != of.At.File || of.Rule == "run-shifted" || of.Rule == "pin-off-board" || inJoin // of a join to which nothing is wired any more, or what was shifted off its end
	case "item-not-there":
		return of.Rule == "item-wired-twice" // what it says and should not
	}
	return false
}

// withoutSaid leaves out of findings on the wiring what is gone once a cause of
// the proof is mended: it is what that mistake has led to. The places that it
// names beside the cause's own go to what is said of the cause; these are the
// first of proved.
func (c *checked) withoutSaid(compared *wiring.Relay, found, proved []finding.Finding) []finding.Finding {
	if len(c.causes.Causes) == 0 {
		return found
	}
	found = slices.DeleteFunc(found, func(f finding.Finding) bool { // a row that misses its valves may meet magnets, or have pins exchanged with theirs
		return f.Rule == proof.MagnetDiffers && slices.ContainsFunc(c.causes.Causes, func(one cause.Cause) bool {
			return one.At.File == f.File && one.At.Line == f.Line || !saysSo(proof.Magnets(one.Cured, c.in), f)
		})
	})
	before := wiring.Check(compared, c.in)
	for i, one := range c.causes.Causes {
		after := wiring.Check(one.Cured, c.in)
		inJoin := slices.ContainsFunc(compared.Joins, func(j wiring.Join) bool { return j.At == one.At })
		fresh := map[string]bool{} // rules of which something else is said then
		for _, f := range after {
			fresh[f.Rule] = fresh[f.Rule] || !saysSo(before, f)
		}
		found = slices.DeleteFunc(found, func(f finding.Finding) bool {
			if !isConsequence(f, one, inJoin) || fresh[f.Rule] || !saysSo(before, f) || saysSo(after, f) {
				return false
			}
			told := &proved[i]
			for _, also := range append(f.Related, finding.Related{Place: f.Place, Message: f.Message}) {
				if also.Line > 0 && also.File == told.File && also.Line != told.Line && len(told.Related) < 3 {
					told.Related = append(told.Related, also)
				}
			}
			return true
		})
	}
	return found
}

// saysSo reports whether findings have one.
func saysSo(list []finding.Finding, f finding.Finding) bool {
	return slices.ContainsFunc(list, func(g finding.Finding) bool { return g.Rule == f.Rule && g.Place == f.Place && g.Message == f.Message })
}

// onceEach leaves one finding on a row of the wiring, or a join, that stands there
// twice.
func onceEach(r *wiring.Relay, found []finding.Finding) []finding.Finding {
	again := map[finding.Place]bool{} // by file and line
	for i, f := range found {
		if f.Rule == "pin-used-twice" && sameRow(r, f.Place, f.Related[0].Place) {
			found[i].Message, found[i].Fix = f.Message+", by the same row", "take the row out"
			again[finding.Place{File: f.File, Line: f.Line}] = true
		}
	}
	return slices.DeleteFunc(found, func(f finding.Finding) bool {
		return again[finding.Place{File: f.File, Line: f.Line}] && (f.Rule == "item-wired-twice" || f.Rule == "wire-used-twice")
	})
}

// sameRow reports whether the rows of the wiring, or the joins, at two places say
// the same.
func sameRow(r *wiring.Relay, a, b finding.Place) bool {
	var joins []wiring.Join
	for _, j := range r.Joins {
		if j.Place(wiring.FromPinsColumn) == a || j.At == b {
			joins = append(joins, j)
		}
	}
	if len(joins) == 2 {
		return slices.Equal(joins[0].From, joins[1].From) && slices.Equal(joins[0].To, joins[1].To) &&
			joins[0].Cable == joins[1].Cable && slices.Equal(joins[0].Wires, joins[1].Wires)
	}
	var rows []wiring.Row
	for _, row := range slices.Concat(r.Plan, r.Wired) {
		if at := row.Place(wiring.PinsColumn); at == a || at == b {
			rows = append(rows, row)
		}
	}
	return len(rows) == 2 && slices.Equal(rows[0].Pins, rows[1].Pins) && slices.Equal(rows[0].Items, rows[1].Items) &&
		rows[0].Cable == rows[1].Cable && slices.Equal(rows[0].Wires, rows[1].Wires)
}
