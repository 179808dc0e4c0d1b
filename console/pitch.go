package console

import "math"

// IsPipes reports whether a rank's valves lead to pipes, and not to bars,
// bells or what else it strikes.
func (r Rank) IsPipes() bool { return r.Sounds == "pipes" }

// RowsAt is the rows that stand on valve number v, in the order of the file:
// of a plain rank the one that its footage is; of a compound one those of its
// zone, the last that begins at or below the valve's note.
func (r Rank) RowsAt(v int) []Row {
	if len(r.Breaks) == 0 {
		return []Row{{r.Feet.String(), 8 * r.Feet.Den, r.Feet.Num}}
	}
	var zone Break
	for _, b := range r.Breaks {
		if b.From <= r.Note(v) && b.From >= zone.From {
			zone = b
		}
	}
	return zone.Rows
}

// PipesOn is how many pipes stand on valve number v.
func (r Rank) PipesOn(v int) int {
	if !r.IsPipes() {
		return 0
	}
	return len(r.RowsAt(v))
}

// Hz is the pitch of what stands on valve number v of a rank, in hertz, a
// figure for each row in the order of the file.
func (in *Instrument) Hz(rank, v int) []float64 {
	r := in.Ranks[rank]
	n := int(r.Note(v))
	cents := in.Pitch.Temperament[n%12] + r.Cents
	foot8 := in.Pitch.A4 * math.Pow(2, float64(n-69)/12+cents/1200)
	rows := r.RowsAt(v)
	hz := make([]float64, len(rows))
	for i, row := range rows {
		hz[i] = foot8 * float64(row.Num) / float64(row.Den)
	}
	return hz
}
