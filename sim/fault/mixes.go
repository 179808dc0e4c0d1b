package fault

import (
	"iter"
	"slices"
)

// step takes what hangs at a place of a lane to another place, or to none: -1.
type step struct{ from, to int }

// mixes are the ways of mixing up a lane of n pins: of what hangs on each, what
// goes elsewhere.
var mixes = []struct {
	class string
	least int
	noted bool
	ways  func(n int) int
	mix   func(n, i int) []step
	says  string
}{
	{"pins-swapped", 2, false, func(n int) int { return n * (n - 1) / 2 }, func(n, i int) []step {
		a := 0
		for ; i >= n-1-a; a++ {
			i -= n - 1 - a
		}
		return []step{{a, a + 1 + i}, {a + 1 + i, a}}
	}, "exchanged"},
	{"run-shifted", 2, false, func(int) int { return 4 }, func(n, i int) []step {
		by := []int{1, -1, 2, -2}[i]
		return each(0, n, func(k int) int {
			if k+by < 0 || k+by >= n {
				return -1
			}
			return k + by
		})
	}, "shifted"},
	{"octave-off", 4, true, func(n int) int { return n/min(12, n/2) - 1 }, func(n, i int) []step {
		width := min(12, n/2)
		middle := (i + 1) * width
		return each(middle-width, middle+width, func(k int) int {
			if k < middle {
				return k + width
			}
			return k - width
		})
	}, "an octave off"},
	{"wires-off", 3, false, func(n int) int { return len(widths(n-1, 25, 50)) }, func(n, i int) []step {
		by := widths(n-1, 25, 50)[i]
		return each(0, n, func(k int) int { return (k + by) % n })
	}, "so many wires off"},
	{"order-reversed", 2, false, once, func(n, _ int) []step {
		return each(0, n, func(k int) int { return n - 1 - k })
	}, "in the opposite order"},
	{"pair-exchanged", 2, false, once, func(n, _ int) []step {
		return each(0, n-n%2, func(k int) int { return k ^ 1 })
	}, "the wires of every pair exchanged"},
	{"sides-mixed", 3, true, once, func(n, _ int) []step {
		return each(0, n, func(k int) int { return k/2 + k%2*((n+1)/2) })
	}, "C side before C-sharp side"},
	{"pin-open", 1, false, func(n int) int { return n }, func(_, i int) []step {
		return []step{{i, -1}}
	}, "open"},
	{"group-open", 2, false, func(n int) int {
		ways := 0
		for range stretches(n) {
			ways++
		}
		return ways
	}, func(n, i int) []step {
		for from, before := range stretches(n) {
			if i == 0 {
				return each(from, before, func(int) int { return -1 })
			}
			i--
		}
		return nil
	}, "open"},
}

// stretches are the places of a lane that may be open together: as many as a plug,
// a binder of a cable or a board has, wherever they lie; and any number from one
// end, as where a plug is not pressed home or a row was not gone on with.
func stretches(n int) iter.Seq2[int, int] {
	return func(yield func(from, before int) bool) {
		some := slices.DeleteFunc(widths(n-1, 12, 16, 25, 32), func(w int) bool { return w < 2 })
		for _, w := range some {
			for from := range n - w + 1 {
				if !yield(from, from+w) {
					return
				}
			}
		}
		for w := 2; w <= n; w++ {
			if slices.Contains(some, w) {
				continue
			}
			if !yield(0, w) || w < n && !yield(n-w, n) {
				return
			}
		}
	}
}

func once(int) int { return 1 }

// each are the steps of the places from one to before another, but of those that stay.
func each(from, before int, to func(k int) int) []step {
	list := make([]step, 0, before-from)
	for k := from; k < before; k++ {
		if t := to(k); t != k {
			list = append(list, step{k, t})
		}
	}
	return list
}

// widths are those of some widths that a lane has, half of it when it has none.
func widths(most int, some ...int) []int {
	list := make([]int, 0, len(some))
	for _, w := range some {
		if w <= most {
			list = append(list, w)
		}
	}
	if len(list) == 0 {
		return []int{max(1, most/2)}
	}
	return list
}
