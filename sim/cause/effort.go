package cause

import (
	"cmp"
	"strconv"
	"strings"

	"trundle/console"
)

// effort is what it takes to write a change: how many rows, and by how many
// runs they then have more than before. Rows are written in runs, and a mistake
// breaks the runs of the table in which it was made; so the likelier of two
// readings is the one that takes less.
func (p paper) effort(c change) int {
	old, fresh, runs := 0, 0, 0
	for _, e := range p.edits(c) {
		if e.Old != "" {
			old++
		}
		fresh += len(e.New)
		runs -= piecesIn(e.Old)
		for _, row := range e.New {
			runs += piecesIn(row)
		}
	}
	return max(old, fresh) + runs
}

// piecesIn counts the runs that a row writes beyond one a cell. One that
// descends, or leaves some out, counts double.
func piecesIn(row string) int {
	n := 0
	for cell := range strings.SplitSeq(row, ",") {
		words := strings.Fields(cell)
		n += max(0, len(words)-1)
		for _, word := range words {
			if from, to, run := strings.Cut(word, ".."); run && (descends(from, to) || strings.Contains(to, "/")) {
				n++
			}
		}
	}
	return n
}

func descends(from, to string) bool {
	a, errA := strconv.Atoi(from)
	b, errB := strconv.Atoi(to)
	if errA != nil || errB != nil {
		x, errX := console.ParseNote(from)
		y, errY := console.ParseNote(to)
		return errX == nil && errY == nil && cmp.Less(y, x)
	}
	return b < a
}
