package cause

import (
	"slices"

	"trundle/sim/wiring"
)

// origin says where a row of a changed relay comes from: a row of the relay
// before, of which some places are kept, or a row that a change has added.
type origin struct {
	change int // -1 for a row of the relay before
	row    int
	keep   []int // nil for all
}

// origins are where the rows of one layer come from after some changes.
func origins(rows int, length func(int) int, changes []change, out func(change) map[element]bool, added func(change) int) []origin {
	var list []origin
	for i := range rows {
		keep, touched := []int{}, false
		for at := range length(i) {
			if slices.ContainsFunc(changes, func(c change) bool { return out(c)[element{i, at}] }) {
				touched = true
			} else {
				keep = append(keep, at)
			}
		}
		switch {
		case !touched:
			list = append(list, origin{-1, i, nil})
		case len(keep) > 0:
			list = append(list, origin{-1, i, keep})
		}
	}
	for k, c := range changes {
		for i := range added(c) {
			list = append(list, origin{k, i, nil})
		}
	}
	return list
}

// carry adds to suspects of a relay those that were found with all of these
// cured. What one takes out of rows that the cure of another has added, that
// one does not add; a row of the table mended twice is one mistake.
func carry(r *wiring.Relay, suspects, more []suspect) []suspect {
	changes := make([]change, len(suspects))
	for i, s := range suspects {
		changes[i] = s.cure
	}
	hung := func(c change) map[element]bool { return c.unhang }
	switched := func(c change) map[element]bool { return c.unswitch }
	joined := func(c change) map[element]bool { return c.unjoin }
	rows := r.Soldered()
	wires := origins(len(rows), func(i int) int { return len(rows[i].Pins) }, changes, hung, func(c change) int { return len(c.hang) })
	table := origins(len(r.Switch), func(i int) int { return r.Switch[i].Len() }, changes, switched, func(c change) int { return len(c.switches) })
	joins := origins(len(r.Joins), func(i int) int { return len(r.Joins[i].From) }, changes, joined, func(c change) int { return len(c.joins) })

	all := slices.Clone(suspects)
	taken := map[int]change{} // what is taken out of rows that others have added
	parts := map[int][]change{}
	for _, s := range more {
		first := len(all)
		back := func(out map[element]bool, from []origin, of func(change) map[element]bool) map[element]bool {
			carried := map[element]bool{}
			for e := range out {
				o := from[e.row]
				if o.keep != nil {
					e.at = o.keep[e.at]
				}
				if e.row = o.row; o.change < 0 {
					carried[e] = true
					continue
				}
				if _, known := taken[o.change]; !known {
					taken[o.change] = newChange()
				}
				of(taken[o.change])[e] = true
				first = min(first, o.change)
			}
			return carried
		}
		s.cure.unhang, s.cure.unswitch, s.cure.unjoin = back(s.cure.unhang, wires, hung), back(s.cure.unswitch, table, switched), back(s.cure.unjoin, joins, joined)
		if s.at.File == "" && len(suspects) > 0 { // a row that the cure of another has written stands nowhere yet
			s.at = suspects[min(first, len(suspects)-1)].at
		}
		if first < len(suspects) && len(s.cure.hang)+len(s.cure.joins) == 0 {
			parts[first] = append(parts[first], s.cure)
		} else {
			all = append(all, s)
		}
	}
	for i, out := range taken {
		all[i].cure = all[i].cure.without(out)
	}
	for i, cures := range parts {
		for _, c := range cures {
			all[i].cure = all[i].cure.and(c)
		}
	}
	return all
}
