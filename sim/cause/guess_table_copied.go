package cause

import (
	"fmt"
	"slices"

	"trundle/sim/wiring"
)

// copied guesses that a row which says again what other rows say, and is there
// for nothing, was copied to be altered: it should be one that the table lacks.
func (t tableSlips) copied() {
	g := t.g
	said := map[string]int{}
	for _, s := range g.r.Switch {
		for at := range s.Len() {
			said[placeKey(s, at)]++
		}
	}
	known := func(line string) bool { _, is := g.names[line]; return is || line == "" }
	var lacking []wiring.Switch
	for _, s := range wiring.Derive(g.r, g.in) {
		if s.Len() > 0 && said[placeKey(s, 0)] == 0 && known(s.Line) && known(s.To) {
			lacking = append(lacking, s)
		}
	}
	for i, s := range g.r.Switch {
		again := s.Len() > 0 && !slices.ContainsFunc(g.r.Switch[i+1:], func(later wiring.Switch) bool { return wholeKey(later) == wholeKey(s) })
		for at := range s.Len() {
			again = again && said[placeKey(s, at)] > 1
		}
		for _, other := range lacking {
			if again && other.Kind == s.Kind {
				t.keep("row-missing", i, other, fmt.Sprintf("%s says again what another row says, and the row %s is missing", t.row(s), paper{g.in, g.r}.switchText(other)))
			}
		}
	}
}
