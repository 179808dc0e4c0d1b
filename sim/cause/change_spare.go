package cause

import (
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// spare is what hangs on a pin that has nothing.
var spare = wiring.Item{Kind: wiring.SpareKind, Index: console.None, Of: console.None}

// tidied is changes of one relay with what becomes of spare pins: those on which
// something is hung are spare no longer, and those that are left with nothing
// are, if the wiring is listed pin by pin.
func tidied(r *wiring.Relay, changes []change) []change {
	if !slices.ContainsFunc(changes, func(c change) bool { return len(c.unhang)+len(c.hang) > 0 }) {
		return changes
	}
	rows := r.Soldered()
	hung, left := map[wiring.Terminal]bool{}, map[wiring.Terminal]bool{} // by some change; by none
	for _, c := range changes {
		for _, row := range c.hang {
			for _, t := range row.Pins {
				hung[t] = true
			}
		}
	}
	for i, row := range rows {
		for at, t := range row.Pins {
			out := false
			for _, c := range changes {
				out = out || c.unhang[element{i, at}]
			}
			left[t] = left[t] || !out
		}
	}
	all := make([]change, len(changes))
	for n, c := range changes {
		fresh := map[wiring.Terminal]bool{}
		for _, row := range c.hang {
			for _, t := range row.Pins {
				fresh[t] = true
			}
		}
		more := newChange()
		empty := map[wiring.Terminal]bool{}
		for i, row := range rows {
			for at, t := range row.Pins {
				switch e := (element{i, at}); {
				case row.Kind == wiring.SpareKind && fresh[t]:
					more.unhang[e] = true
				case row.Kind != wiring.SpareKind && c.unhang[e] && !hung[t] && !left[t] && t.Pin >= 1 && t.Pin <= pinsOn(r, t.On) && !empty[t]:
					empty[t] = true
					more.hang = append(more.hang, wiring.Row{Pins: []wiring.Terminal{t}, Kind: wiring.SpareKind, Items: []wiring.Item{spare}})
				}
			}
		}
		more.hang = hangInRuns(more.hang)
		all[n] = c.and(more)
	}
	return all
}

// pinsOn is how many terminals a board or strip has.
func pinsOn(r *wiring.Relay, on int) int {
	if on < len(r.Boards) {
		return r.Boards[on].Pins
	}
	return r.Strips[on-len(r.Boards)].Pins
}
