package cause

import (
	"slices"

	"trundle/sim/wiring"
)

// element is one place of the run of a row.
type element struct{ row, at int }

// change is what is altered in the rows of a relay: places of runs taken out,
// and rows added. All of it is said of the rows as they are before any change,
// so that changes can be made together.
type change struct {
	unhang, unswitch, unjoin map[element]bool
	hang                     []wiring.Row
	switches                 []wiring.Switch
	joins                    []wiring.Join
}

func newChange() change {
	return change{unhang: map[element]bool{}, unswitch: map[element]bool{}, unjoin: map[element]bool{}}
}

// with makes several changes in a copy of a relay.
func with(r *wiring.Relay, changes ...change) *wiring.Relay {
	c := *r
	rows := cut(r.Soldered(), changes, func(c change) map[element]bool { return c.unhang }, partOfRow, func(row wiring.Row) int { return len(row.Pins) })
	c.Switch = cut(r.Switch, changes, func(c change) map[element]bool { return c.unswitch }, partOfSwitch, wiring.Switch.Len)
	c.Joins = cut(r.Joins, changes, func(c change) map[element]bool { return c.unjoin }, partOfJoin, func(j wiring.Join) int { return len(j.From) })
	for _, x := range changes {
		rows = append(rows, x.hang...)
		c.Switch = append(c.Switch, x.switches...)
		c.Joins = append(c.Joins, x.joins...)
	}
	if c.Wired != nil {
		c.Wired = rows
	} else {
		c.Plan = rows
	}
	return &c
}

// cut is rows without the places that changes take out, and without rows that
// are left empty.
func cut[R any](rows []R, changes []change, out func(change) map[element]bool, part func(R, []int) R, length func(R) int) []R {
	touched := map[int]bool{}
	for _, c := range changes {
		for e := range out(c) {
			touched[e.row] = true
		}
	}
	left := make([]R, 0, len(rows))
	for i, row := range rows {
		if !touched[i] {
			left = append(left, row)
			continue
		}
		var keep []int
		for at := range length(row) {
			if !slices.ContainsFunc(changes, func(c change) bool { return out(c)[element{i, at}] }) {
				keep = append(keep, at)
			}
		}
		if len(keep) > 0 {
			left = append(left, part(row, keep))
		}
	}
	return left
}

// pick is the members of a list at some places; those past its end are none.
func pick[T any](list []T, places []int) []T {
	if list == nil {
		return nil
	}
	var picked []T
	for _, i := range places {
		if i < len(list) {
			picked = append(picked, list[i])
		}
	}
	return picked
}

// partOfRow is a row of the wiring with some places of its run.
func partOfRow(row wiring.Row, places []int) wiring.Row {
	row.Pins, row.Items, row.Wires = pick(row.Pins, places), pick(row.Items, places), pick(row.Wires, places)
	return row
}

// partOfSwitch is a row of the switching with some places of its run.
func partOfSwitch(s wiring.Switch, places []int) wiring.Switch {
	s.Notes, s.Pins, s.ToNotes = pick(s.Notes, places), pick(s.Pins, places), pick(s.ToNotes, places)
	return s
}

// partOfJoin is a join with some places of its run.
func partOfJoin(j wiring.Join, places []int) wiring.Join {
	j.From, j.To, j.Wires = pick(j.From, places), pick(j.To, places), pick(j.Wires, places)
	return j
}

// rowsOf are the rows of some places.
func rowsOf(places map[element]bool) map[int]bool {
	rows := map[int]bool{}
	for e := range places {
		rows[e.row] = true
	}
	return rows
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

// without is a change that adds less.
func (c change) without(out change) change {
	c.hang = cut(c.hang, []change{out}, func(c change) map[element]bool { return c.unhang }, partOfRow, func(row wiring.Row) int { return len(row.Pins) })
	c.switches = cut(c.switches, []change{out}, func(c change) map[element]bool { return c.unswitch }, partOfSwitch, wiring.Switch.Len)
	c.joins = cut(c.joins, []change{out}, func(c change) map[element]bool { return c.unjoin }, partOfJoin, func(j wiring.Join) int { return len(j.From) })
	return c
}

// and is two changes in one.
func (c change) and(d change) change {
	join := func(a, b map[element]bool) map[element]bool {
		all := map[element]bool{}
		for e := range a {
			all[e] = true
		}
		for e := range b {
			all[e] = true
		}
		return all
	}
	return change{
		unhang: join(c.unhang, d.unhang), unswitch: join(c.unswitch, d.unswitch), unjoin: join(c.unjoin, d.unjoin),
		hang: slices.Concat(c.hang, d.hang), switches: slices.Concat(c.switches, d.switches), joins: slices.Concat(c.joins, d.joins),
	}
}

// shares reports whether two changes alter one row.
func (c change) shares(d change) bool {
	same := func(a, b map[element]bool) bool {
		rows := map[int]bool{}
		for e := range a {
			rows[e.row] = true
		}
		for e := range b {
			if rows[e.row] {
				return true
			}
		}
		return false
	}
	return same(c.unhang, d.unhang) || same(c.unswitch, d.unswitch) || same(c.unjoin, d.unjoin)
}
