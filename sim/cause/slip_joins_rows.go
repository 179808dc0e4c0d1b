package cause

import (
	"fmt"
	"slices"

	"trundle/sim/wiring"
)

// goingOn guesses that both ends of a join go on, as far as something is lacking at
// both; what is shifted may go on at either side.
func (s joinSlips) goingOn(i int) {
	j := s.g.r.Joins[i]
	if len(j.From) != len(j.To) || len(j.From) < 2 {
		return
	}
	lacking := func(pins []wiring.Terminal) bool {
		return !slices.ContainsFunc(pins, func(t wiring.Terminal) bool { return !s.lacks(t) })
	}
	for _, before := range [][2]bool{{true, true}, {false, false}, {true, false}, {false, true}} {
		most := 0
		for lacking(onwards(j.From, most+1, before[0])) && lacking(onwards(j.To, most+1, before[1])) {
			most++
		}
		if most == 0 {
			continue
		}
		by := j
		var more [2][]wiring.Terminal
		for end, run := range sides(j) {
			more[end] = onwards(run, most, before[end])
			if run = slices.Concat(run, more[end]); before[end] {
				run = slices.Concat(more[end], sides(j)[end])
			}
			by = ending(by, end, run)
		}
		by.Wires = wiresFor(wiring.Row{Wires: j.Wires}, len(by.From), before[0])
		rule, says := "net-open", fmt.Sprintf("%s leaves out %s and %s", s.called(j), pinWords(s.g.r, more[0]), pinWords(s.g.r, more[1]))
		if before[0] != before[1] {
			rule = "run-shifted"
		}
		s.keep(rule, i, &by, says)
	}
}

// exchanged guesses that two joins have each other's board or strip at one end, or
// its pins too.
func (s joinSlips) exchanged(i, k int) {
	r := s.g.r
	for _, end := range []int{1, 0} { // a cable goes with the board where it begins
		a, b := sides(r.Joins[i])[end], sides(r.Joins[k])[end]
		on := func(pins []wiring.Terminal, on int) []wiring.Terminal {
			return from(pins, wiring.Terminal{On: on, Pin: pins[0].Pin})
		}
		for _, way := range [][2][]wiring.Terminal{{on(a, b[0].On), on(b, a[0].On)}, {b, a}} {
			if slices.Equal(way[0], a) {
				continue
			}
			c := s.rejoined(i).and(s.rejoined(k))
			c.joins = []wiring.Join{ending(r.Joins[i], end, way[0]), ending(r.Joins[k], end, way[1])}
			what := "pins on " + r.Board(a[0].On)
			if a[0].On != b[0].On {
				what = fmt.Sprintf("end on %s and %s", r.Board(a[0].On), r.Board(b[0].On))
			}
			s.kept("plugs-swapped", c, len(a)+len(b), fmt.Sprintf("%s and %s have each other's %s", s.called(r.Joins[i]), s.called(r.Joins[k]), what))
		}
	}
}

// leftOut guesses that a join is missing between what a strip lacks and what a
// board does: one for one, or pin for pin.
func (s joinSlips) leftOut() {
	r := s.g.r
	if r.At.Joins.File == "" {
		return // there is no table of joins
	}
	by := map[int][]wiring.Terminal{}
	for _, t := range s.lacking {
		if s.ends[s.g.w.nets.Of(t)].hung == (t.On >= len(r.Boards)) {
			by[t.On] = append(by[t.On], t)
		}
	}
	for strip := len(r.Boards); strip < len(r.Boards)+len(r.Strips); strip++ {
		for board := range r.Boards {
			a, b := by[board], by[strip]
			if len(a) != len(b) {
				has := func(list []wiring.Terminal) func(t wiring.Terminal) bool {
					return func(t wiring.Terminal) bool {
						return !slices.ContainsFunc(list, func(o wiring.Terminal) bool { return o.Pin == t.Pin })
					}
				}
				a, b = slices.DeleteFunc(slices.Clone(a), has(b)), slices.DeleteFunc(slices.Clone(b), has(a))
			}
			if len(a) == 0 || len(a) != len(b) {
				continue
			}
			c := newChange()
			c.joins = []wiring.Join{paper{s.g.in, r}.inIdleCable(wiring.Join{From: a, To: b})}
			s.kept("net-open", c, len(a), fmt.Sprintf("no join leads from %s to a board, and nothing is on %s", pinWords(r, b), pinWords(r, a)))
		}
	}
}

// inIdleCable is a new join in the one cable that is listed and that no row names,
// pin for wire; as it is where there is none or are several.
func (p paper) inIdleCable(j wiring.Join) wiring.Join {
	idle := idleCables(p.r)
	if len(idle) != 1 {
		return j
	}
	last := slices.MaxFunc(j.From, compareTerminals).Pin
	if most := idle[0].Wires; most == 0 || last <= most {
		j.Cable = idle[0].ID
		for _, t := range j.From {
			j.Wires = append(j.Wires, t.Pin)
		}
	}
	return j
}

// idleCables are the cables that are listed and that no row names.
func idleCables(r *wiring.Relay) []wiring.Cable {
	return slices.DeleteFunc(slices.Clone(r.Cables), func(c wiring.Cable) bool {
		return slices.ContainsFunc(slices.Concat(r.Plan, r.Wired), func(row wiring.Row) bool { return row.Cable == c.ID }) ||
			slices.ContainsFunc(r.Joins, func(j wiring.Join) bool { return j.Cable == c.ID })
	})
}
