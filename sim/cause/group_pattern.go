package cause

import (
	"slices"

	"trundle/sim/wiring"
)

// nothing hangs on a pin, or is wanted there.
var nothing = wiring.Item{}

// pattern names the one mistake that makes what should hang on a row of pins
// into what hangs there, "" when no one mistake does.
func pattern(proper, actual []wiring.Item) string {
	var off []int
	opened := true
	for i := range proper {
		if proper[i] != actual[i] {
			off = append(off, i)
			opened = opened && actual[i] == nothing
		}
	}
	switch {
	case len(off) == 0:
		return ""
	case opened:
		return openPattern(off, len(proper))
	case len(off) == 2 && proper[off[0]] == actual[off[1]] && proper[off[1]] == actual[off[0]]:
		return "pins-swapped"
	}
	if k, ok := shift(proper, actual); ok {
		if k == 12 || k == -12 {
			return "octave-off"
		}
		return "run-shifted"
	}
	if a, b := off[0], off[len(off)-1]+1; b-a == len(off) && b-a > 3 {
		if _, ok := shift(proper[a:b], actual[a:b]); ok {
			return "run-shifted" // a pin was skipped, or filled, within the run
		}
	}
	if blocks(proper, actual, off) {
		return "octave-off"
	}
	for _, m := range mixes(len(proper)) {
		if m.makes(proper, actual) {
			return m.rule
		}
	}
	return ""
}

// makes reports whether a mix makes what should hang on pins into what hangs there.
func (m mix) makes(proper, actual []wiring.Item) bool {
	for i, to := range m.to {
		if actual[to] != proper[i] {
			return false
		}
	}
	return true
}

// openPattern names open pins.
func openPattern(off []int, n int) string {
	switch {
	case len(off) == 1:
		return "pin-open"
	case len(off) == n:
		return "row-missing"
	case off[len(off)-1]-off[0] == len(off)-1:
		return "group-open"
	}
	return ""
}

// shift is by how many pins all has moved, where all has and what was pushed
// past an end hangs on nothing.
func shift(proper, actual []wiring.Item) (k int, ok bool) {
	n := len(proper)
	for k = -n + 2; k < n-1; k++ {
		fits := k != 0
		for i := 0; i < n && fits; i++ {
			if from := i - k; from < 0 || from >= n {
				fits = actual[i] == nothing
			} else {
				fits = actual[i] == proper[from]
			}
		}
		if fits {
			return k, true
		}
	}
	return 0, false
}

// blocks reports whether two groups that lie side by side are exchanged, each
// in its own order.
func blocks(proper, actual []wiring.Item, off []int) bool {
	first, w := off[0], len(off)/2
	if len(off) != 2*w || w < 2 || off[len(off)-1] != first+2*w-1 {
		return false
	}
	return slices.Equal(proper[first:first+w], actual[first+w:first+2*w]) && slices.Equal(proper[first+w:first+2*w], actual[first:first+w])
}
