package cause

import (
	"fmt"
	"slices"

	"trundle/sim/wiring"
)

// matrixWires says which two wires of a key matrix have been exchanged, if that
// is what has moved keys: those of two rows, so many keys side by side, or of two
// columns, two keys of every row. It says nothing of an octave.
func (m *model) matrixWires(entries []moved) (string, bool) {
	first := entries[0].have
	if first.Kind != wiring.KeyKind && first.Kind != wiring.Key2Kind {
		return "", false
	}
	keys := m.in.Keyboards[first.Index].Keys
	count, apart := int(keys.To-keys.From)+1, 0
	var lower []int // of every two keys the lower one, from 0
	for _, e := range entries {
		a, b := e.have, e.means
		if a.Kind != b.Kind || a.Index != b.Index || !slices.ContainsFunc(entries, func(f moved) bool { return f.have == b && f.means == a }) {
			return "", false
		}
		if a.Note > b.Note {
			continue
		}
		if apart == 0 {
			apart = b.Note - a.Note
		}
		if lower = append(lower, a.Note-int(keys.From)); b.Note-a.Note != apart {
			return "", false
		}
	}
	n := len(lower)
	if n < 3 || 2*n != len(entries) {
		return "", false
	}
	slices.Sort(lower)
	step := lower[1] - lower[0]
	for i := range lower {
		if lower[i] != lower[0]+i*step {
			return "", false
		}
	}
	switch {
	case step == 1 && n != 12 && n != count/2 && lower[0]%n == 0 && apart%n == 0:
		row := lower[0]/n + 1
		return fmt.Sprintf("rows %d and %d of the key matrix, of %d keys each, are exchanged", row, row+apart/n, n), true
	case step >= 4 && step > apart && lower[0]+apart < step && lower[n-1]+step+apart >= count:
		column := lower[0] + 1
		return fmt.Sprintf("columns %d and %d of the key matrix, of %d, are exchanged", column, column+apart, step), true
	}
	return "", false
}
