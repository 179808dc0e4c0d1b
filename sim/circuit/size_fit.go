package circuit

// fit asks for the sizes of least copper with which every row keeps within its
// budget: a row is the volts that the parts on one way lose. Sizes are numbers
// from thin to thick, at most as many as a part has.
type fit struct {
	kilos, ohms [][]float64 // by part, by size
	least       []int       // by part: the thinnest that other rules allow
	rows        []row
	of          [][]int // by part: rows that it is in
}

type row struct {
	parts  []int
	amps   []float64
	budget float64 // volts
	floor  int     // whose it is
}

// lost is what a row loses; with sizes by part.
func (f *fit) lost(r row, at []int) float64 {
	sum := 0.0
	for i, p := range r.parts {
		sum += r.amps[i] * f.ohms[p][at[p]]
	}
	return sum
}

// broken is a row of a part that is over its budget, None when none is.
func (f *fit) broken(p int, at []int) int {
	for _, r := range f.of[p] {
		if f.lost(f.rows[r], at) > f.rows[r].budget {
			return r
		}
	}
	return None
}

func (f *fit) copper(at []int) float64 {
	sum := 0.0
	for p, size := range at {
		sum += f.kilos[p][size]
	}
	return sum
}

// thin takes parts down, a size at a time, as long as every row allows it:
// always the one that saves the most copper for the share that it takes of what
// a row has left. One part is left alone.
func (f *fit) thin(at []int, but int) {
	for {
		best, most := None, 0.0
		for p := range at {
			if p == but || at[p] == f.least[p] {
				continue
			}
			saved, share, fits := f.kilos[p][at[p]]-f.kilos[p][at[p]-1], 0.0, true
			for _, r := range f.of[p] {
				row := f.rows[r]
				left := row.budget - f.lost(row, at)
				more := row.through(p) * (f.ohms[p][at[p]-1] - f.ohms[p][at[p]])
				if fits = more <= left; !fits {
					break
				}
				if left > 0 {
					share = max(share, more/left)
				}
			}
			if worth := saved / (share + slack); fits && worth > most {
				best, most = p, worth
			}
		}
		if best == None {
			return
		}
		at[best]--
	}
}

// thicken takes parts up, a size at a time, until no row is over its budget:
// always the one that mends the most for its copper. It reports whether that
// can be done while one part is left alone.
func (f *fit) thicken(at []int, but int) bool {
	for {
		over := false
		mends := make([]float64, len(at))
		for _, row := range f.rows {
			excess := f.lost(row, at) - row.budget
			if excess <= 0 {
				continue
			}
			over = true
			for i, p := range row.parts {
				if p != but && at[p]+1 < len(f.ohms[p]) {
					mends[p] += min(excess, row.amps[i]*(f.ohms[p][at[p]]-f.ohms[p][at[p]+1]))
				}
			}
		}
		best, most := None, 0.0
		for p, volts := range mends {
			if volts > 0 {
				if worth := volts / (f.kilos[p][at[p]+1] - f.kilos[p][at[p]]); worth > most {
					best, most = p, worth
				}
			}
		}
		if !over || best == None {
			return !over
		}
		at[best]++
	}
}

// through is the amps through a part of a row.
func (r row) through(p int) float64 {
	sum := 0.0
	for i, part := range r.parts {
		if part == p {
			sum += r.amps[i]
		}
	}
	return sum
}
