package cause

// mix is a way in which the members of a run of pins get mixed up: what
// belongs at the place i of the run is at to[i].
type mix struct {
	rule string
	to   []int
}

// mixes are the ways to mix up a run of so many; of two exchanged only those
// that are one of these.
func mixes(n int) []mix {
	var all []mix
	add := func(rule string, to func(i int) int) {
		m, moved := mix{rule, make([]int, n)}, 0
		for i := range m.to {
			if m.to[i] = to(i); m.to[i] != i {
				moved++
			}
		}
		if moved == 2 {
			m.rule = "pins-swapped"
		}
		if moved > 0 {
			all = append(all, m)
		}
	}
	half := func(i int) int { return i/2 + i%2*((n+1)/2) }
	add("order-reversed", func(i int) int { return n - 1 - i })
	if n >= 3 {
		add("sides-mixed", half)
		add("sides-mixed", func(i int) int {
			if i < (n+1)/2 {
				return 2 * i
			}
			return 2*(i-(n+1)/2) + 1
		})
	}
	add("pair-exchanged", func(i int) int {
		if i^1 >= n {
			return i
		}
		return i ^ 1
	})
	for w := 2; w <= min(12, n/2); w++ {
		if w < 12 && w != n/2 {
			continue
		}
		for first := 0; first+2*w <= n; first++ {
			add("octave-off", func(i int) int {
				switch {
				case first <= i && i < first+w:
					return i + w
				case first+w <= i && i < first+2*w:
					return i - w
				}
				return i
			})
		}
	}
	for k := 1; k < n; k++ {
		add("wires-off", func(i int) int { return (i + k) % n })
	}
	return all
}
