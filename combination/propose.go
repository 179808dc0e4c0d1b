package combination

import (
	"cmp"
	"math"
	"slices"

	"trundle/console"
)

// Propose is a sequence of the crescendo for its owner to edit: the measured
// stops, the softest first, in at most so many stages, which rise about evenly
// in estimated loudness. Celestes and stops without a level are left out and
// listed; couplers are the owner's to place.
func Propose(in *console.Instrument, stages int, boxes []int) (proposed console.Sequence, leftOut []int) {
	type candidate struct {
		control int
		level   float64
	}
	var list []candidate
	total := 0.0
	for s, stop := range in.Stops {
		level, measured := levelIn(in, s, boxes)
		if !measured || celeste(in, stop) {
			leftOut = append(leftOut, s)
			continue
		}
		list = append(list, candidate{stop.Control, level})
		total += math.Pow(10, level/10)
	}
	slices.SortStableFunc(list, func(a, b candidate) int { return cmp.Compare(a.level, b.level) })

	last, power := -1, 0.0
	for _, c := range list {
		power += math.Pow(10, c.level/10)
		softest, now, full := list[0].level, 10*math.Log10(power), 10*math.Log10(total)
		stage := 0
		if full > softest {
			stage = int(math.Round((now - softest) / (full - softest) * float64(stages-1)))
		}
		if stage > last {
			last = stage
			proposed.Stages = append(proposed.Stages, console.Stage{})
		}
		of := &proposed.Stages[len(proposed.Stages)-1]
		of.Adds = append(of.Adds, c.control)
	}
	return proposed, leftOut
}

func celeste(in *console.Instrument, s console.Stop) bool {
	return slices.ContainsFunc(s.Takes, func(t console.Take) bool { return in.Ranks[t.Rank].Cents != 0 })
}
