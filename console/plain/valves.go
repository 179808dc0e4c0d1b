package plain

import (
	"slices"

	"trundle/console"
)

// openedBy opens the valves that stop s takes for its division's line: steps
// 4 and 5.
func (o organ) openedBy(s console.Stop, line Notes, open []bool) {
	for _, take := range s.Takes {
		for n := range line {
			if !s.Notes.Has(n) || !take.Notes.Has(n) {
				continue
			}
			if v, ok := o.valve(take, n); ok {
				open[o.Ranks[take.Rank].Valve(v)] = true
			}
		}
	}
}

// valve is the number, 1 to pipes, of the valve that a take wants for line
// note n: step 4. There is none past an end, unless the take folds.
func (o organ) valve(take console.Take, n console.Note) (int, bool) {
	rank := o.Ranks[take.Rank]
	v := int(n) + take.Shift - int(rank.From) + 1
	for take.Above == console.Fold && v > rank.Pipes {
		v -= 12
	}
	for take.Below == console.Fold && v < 1 {
		v += 12
	}
	return v, 1 <= v && v <= rank.Pipes
}

// hasWind reports whether no ventil keeps the wind from a rank: step 5.
func (o organ) hasWind(rank int) bool {
	for _, v := range o.Ventils {
		if o.on[v.Control] && slices.Contains(v.Cuts, rank) || !o.on[v.Control] && slices.Contains(v.Admits, rank) {
			return false
		}
	}
	return true
}
