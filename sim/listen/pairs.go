package listen

import "slices"

// Of how many causes that account for the same pairs are made, and how many are
// looked for.
const (
	mostPaired = 12
	mostPairs  = 6
	mostWith   = 2 // of one and the same cause
)

// Pairs are causes, by their places, of which two at a time account for everything,
// where none does alone: the likeliest few, each tried with both mistakes made.
func (q *Inquiry) Pairs() (pairs [][2]int) {
	if q.Whole {
		return nil
	}
	p := newPool(q.l)
	var heard []heardIn
	for _, s := range q.Symptoms {
		heard = append(heard, p.place(s))
	}
	var some []int
	kinds := map[string]int{}
	for i, c := range q.Causes {
		kind := ""
		for _, e := range c.Explains {
			if e {
				kind += "1"
			} else {
				kind += "0"
			}
		}
		if kinds[kind]++; kinds[kind] <= mostPaired {
			some = append(some, i)
		}
	}
	for n, i := range some {
		with := 0
		for _, j := range some[n+1:] {
			a, b := q.Causes[i], q.Causes[j]
			if len(pairs) < mostPairs && with < mostWith && a.fills(b) && apartOf(a.patch, b.patch) && accounted(p, heard, p.hear(a.patch, b.patch)) {
				pairs = append(pairs, [2]int{i, j})
				with++
			}
		}
	}
	return pairs
}

// fills reports whether each symptom is accounted for by one of two causes.
func (c Cause) fills(other Cause) bool {
	for i, e := range c.Explains {
		if !e && !other.Explains[i] {
			return false
		}
	}
	return true
}

// apartOf reports whether two mistakes have nothing to do with each other.
func apartOf(a, b patch) bool {
	return (a.row < 0 || a.row != b.row) && !a.order && !b.order &&
		!slices.ContainsFunc(a.nets, func(n int32) bool { return slices.Contains(b.nets, n) })
}

func accounted(p *pool, heard []heardIn, h hearing) bool {
	return !slices.ContainsFunc(heard, func(s heardIn) bool { return s.share(p, h) == 0 })
}
