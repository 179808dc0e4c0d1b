package combination

import (
	"math"

	"trundle/console"
)

// Estimate is how loud the stops that are on are together, in dB beside each
// other: the sum of their powers, 10 lg of the sum of 10^(L/10), each less
// what its box takes away at its stage (boxes by index; nil: all open). The
// levels are what their owner measured, and the sum is an estimate: it knows
// no room, no wind and no couplers. Stops without a level count nothing and
// are listed. It is -Inf when nothing counts.
func Estimate(in *console.Instrument, on []bool, boxes []int) (dB float64, unmeasured []int) {
	power := 0.0
	for s, stop := range in.Stops {
		if !on[stop.Control] {
			continue
		}
		level, measured := levelIn(in, s, boxes)
		if !measured {
			unmeasured = append(unmeasured, s)
			continue
		}
		power += math.Pow(10, level/10)
	}
	return 10 * math.Log10(power), unmeasured
}

// levelIn is the level of a stop with its box at its stage, if it has one.
func levelIn(in *console.Instrument, stop int, boxes []int) (level float64, measured bool) {
	s := in.Stops[stop]
	if s.Level == nil {
		return 0, false
	}
	level = *s.Level
	if b := boxOf(in, s); b != console.None && boxes != nil {
		box := in.Boxes[b]
		level -= box.Softens * float64(box.Stages-boxes[b]) / float64(box.Stages)
	}
	return level, true
}

// boxOf is the box in which the pipes of a stop's first take stand.
func boxOf(in *console.Instrument, s console.Stop) int {
	division := s.Division
	if len(s.Takes) > 0 {
		if of := in.Ranks[s.Takes[0].Rank].Division; of != console.None {
			division = of
		}
	}
	return in.Divisions[division].Box
}
