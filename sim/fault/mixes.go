package fault

import "slices"

// mixes are the ways of mixing up a lane of n pins: the pin that what hangs on
// each moves to, -1 for none.
var mixes = []struct {
	class string
	least int
	noted bool
	ways  func(n int) int
	mix   func(n, i int) []int
	says  string
}{
	{"pins-swapped", 2, false, func(n int) int { return n * (n - 1) / 2 }, func(n, i int) []int {
		a := 0
		for ; i >= n-1-a; a++ {
			i -= n - 1 - a
		}
		to := straight(n)
		to[a], to[a+1+i] = a+1+i, a
		return to
	}, "exchanged"},
	{"run-shifted", 2, false, func(int) int { return 4 }, func(n, i int) []int {
		by, to := []int{1, -1, 2, -2}[i], straight(n)
		for k := range to {
			if to[k] = k + by; to[k] < 0 || to[k] >= n {
				to[k] = -1
			}
		}
		return to
	}, "shifted"},
	{"octave-off", 4, true, func(n int) int { return n/min(12, n/2) - 1 }, func(n, i int) []int {
		width, to := min(12, n/2), straight(n)
		for k := i * width; k < (i+1)*width; k++ {
			to[k], to[k+width] = k+width, k
		}
		return to
	}, "an octave off"},
	{"wires-off", 3, false, func(n int) int { return len(widths(n-1, 25, 50)) }, func(n, i int) []int {
		by, to := widths(n-1, 25, 50)[i], straight(n)
		for k := range to {
			to[k] = (k + by) % n
		}
		return to
	}, "so many wires off"},
	{"order-reversed", 2, false, once, func(n, _ int) []int {
		to := straight(n)
		slices.Reverse(to)
		return to
	}, "in the opposite order"},
	{"pair-exchanged", 2, false, once, func(n, _ int) []int {
		to := straight(n)
		for k := 0; k+1 < n; k += 2 {
			to[k], to[k+1] = k+1, k
		}
		return to
	}, "the wires of every pair exchanged"},
	{"sides-mixed", 3, true, once, func(n, _ int) []int {
		to := straight(n)
		for k := range to {
			to[k] = k/2 + k%2*((n+1)/2)
		}
		return to
	}, "C side before C-sharp side"},
	{"pin-open", 1, false, func(n int) int { return n }, func(n, i int) []int {
		to := straight(n)
		to[i] = -1
		return to
	}, "open"},
	{"group-open", 2, false, func(n int) int {
		ways := 0
		for _, w := range widths(n-1, 12, 16, 25, 32) {
			ways += n - w + 1
		}
		return ways
	}, func(n, i int) []int {
		to := straight(n)
		for _, w := range widths(n-1, 12, 16, 25, 32) {
			if i <= n-w {
				for k := i; k < i+w; k++ {
					to[k] = -1
				}
				break
			}
			i -= n - w + 1
		}
		return to
	}, "open"},
}

func once(int) int { return 1 }

func straight(n int) []int {
	to := make([]int, n)
	for i := range to {
		to[i] = i
	}
	return to
}

// widths are those of some widths that a lane has, half of it when it has none.
func widths(most int, some ...int) []int {
	some = slices.DeleteFunc(some, func(w int) bool { return w > most })
	if len(some) == 0 {
		return []int{max(1, most/2)}
	}
	return some
}
