package wiring

import (
	"cmp"
	"slices"

	"trundle/console"
)

// PickOrder are the couple rows that pick, by their places in the table, each
// behind all that it depends on. Those that depend on their own outcome, and
// so pass nothing, are left out.
func PickOrder(rows []Switch) []int {
	order, _ := pickRows(rows)
	return order
}

// OwnOutcome are the couple rows that pick and depend on their own outcome, by
// their places in the table. They pass nothing, and nothing is proven of their
// relay.
func OwnOutcome(rows []Switch) []int {
	_, own := pickRows(rows)
	return own
}

// pickRows are the couple rows that pick, by their places in the table: order
// has each behind all that it depends on, own has those that depend on their
// own outcome. A row depends on whatever can put one of its notes on its
// line, whichever controls are on.
func pickRows(rows []Switch) (order, own []int) {
	var picks []int
	for i, row := range rows {
		if row.Kind == Couple && row.Picks != console.PicksAll {
			picks = append(picks, i)
		}
	}
	before := make([]int, len(rows)) // how many rows that pick each depends on
	for _, i := range picks {
		reached := reachedFrom(rows, i)
		for _, j := range picks {
			if reached.anyOf(rows[j].Line, rows[j].Notes[:rows[j].Len()]) {
				before[j]++
				if i == j {
					own = append(own, i)
				}
			}
		}
	}
	for _, i := range picks {
		if !slices.Contains(own, i) {
			order = append(order, i)
		}
	}
	// A row depends on more rows than any of those that it depends on.
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(before[i], before[j]) })
	return order, own
}

// noteSets is a set of notes for each line.
type noteSets map[string]*[console.HighestNote + 1]bool

func (s noteSets) of(line string) *[console.HighestNote + 1]bool {
	if s[line] == nil {
		s[line] = new([console.HighestNote + 1]bool)
	}
	return s[line]
}

func (s noteSets) anyOf(line string, notes []console.Note) bool {
	set := s.of(line)
	return slices.ContainsFunc(notes, func(n console.Note) bool { return set[n] })
}

// reachedFrom is where the outcome of a row that picks can get to.
func reachedFrom(rows []Switch, first int) noteSets {
	reached := noteSets{}
	grew := true
	add := func(line *[console.HighestNote + 1]bool, n console.Note) {
		grew = grew || !line[n]
		line[n] = true
	}
	start := rows[first]
	for _, n := range start.ToNotes[:start.Len()] {
		add(reached.of(start.To), n)
	}
	for grew {
		grew = false
		for _, row := range rows {
			if row.Kind != Couple {
				continue
			}
			from, to := reached.of(row.Line), reached.of(row.To)
			// A row that picks may pass any of its notes when one of them changes.
			all := row.Picks != console.PicksAll && reached.anyOf(row.Line, row.Notes[:row.Len()])
			for i := range row.Len() {
				if all || row.Picks == console.PicksAll && from[row.Notes[i]] {
					add(to, row.ToNotes[i])
				}
			}
		}
	}
	return reached
}
