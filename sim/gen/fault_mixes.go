package gen

import (
	"fmt"
	"slices"
)

// laneFaults are the faults that move the pins of one run among themselves, or
// open some: how many pins a run needs, how many it should have where the
// relay has such runs (the octaves and cables of a real organ), whether it is
// a fault of notes in their order, and how the pins are mixed up. That changes
// `to`, which has for every item of the run the place of the pin that it moves
// to, its own to begin with, -1 when it is to hang on none; and says what was
// done, "" when nothing can be.
var laneFaults = []struct {
	class        string
	least, usual int
	ofNotes      bool
	mix          func(p *planter, l lane, to []int) string
}{
	{"pins-swapped", 2, 2, false, func(p *planter, l lane, to []int) string {
		i := p.IntN(len(to))
		var others []int
		for j := range to {
			if l.hang[j] != l.hang[i] {
				others = append(others, j)
			}
		}
		if len(others) == 0 {
			return ""
		}
		j := pick(p, others)
		to[i], to[j] = j, i
		return fmt.Sprintf("%s and %s exchanged", p.relay.Name(*l.pins[i]), p.relay.Name(*l.pins[j]))
	}},
	{"run-shifted", 2, 3, false, func(p *planter, _ lane, to []int) string {
		by := pick(p, []int{1, 1, -1, 2})
		for i := range to {
			if to[i] = i + by; to[i] < 0 || to[i] >= len(to) {
				to[i] = -1
			}
		}
		return fmt.Sprintf("shifted by %d", by)
	}},
	{"octave-off", 4, 24, true, func(p *planter, _ lane, to []int) string {
		width := min(12, len(to)/2)
		first := p.IntN(len(to)/width-1) * width
		for i := first; i < first+width; i++ {
			to[i], to[i+width] = i+width, i
		}
		return fmt.Sprintf("groups of %d exchanged", width)
	}},
	{"wires-off", 3, 26, false, func(p *planter, _ lane, to []int) string {
		width := p.width(len(to)-1, 25, 50)
		for i := range to {
			to[i] = (i + width) % len(to)
		}
		return fmt.Sprintf("%d wires off", width)
	}},
	{"order-reversed", 2, 4, false, func(_ *planter, _ lane, to []int) string {
		slices.Reverse(to)
		return "in the opposite order"
	}},
	{"pair-exchanged", 2, 4, false, func(_ *planter, _ lane, to []int) string {
		for i := 0; i+1 < len(to); i += 2 {
			to[i], to[i+1] = i+1, i
		}
		return "both wires of every pair exchanged"
	}},
	{"sides-mixed", 3, 12, true, func(_ *planter, _ lane, to []int) string {
		for i := range to {
			to[i] = i/2 + i%2*((len(to)+1)/2)
		}
		return "C side before C-sharp side"
	}},
	{"pin-open", 1, 1, false, func(p *planter, l lane, to []int) string {
		i := p.IntN(len(to))
		to[i] = -1
		return p.relay.Name(*l.pins[i]) + " open"
	}},
	{"group-open", 2, 12, false, func(p *planter, _ lane, to []int) string {
		width := p.width(len(to)-1, 12, 16, 25, 32) // all of it is a row that is missing
		first := p.IntN(len(to) - width + 1)
		for i := first; i < first+width; i++ {
			to[i] = -1
		}
		return fmt.Sprintf("%d wires open", width)
	}},
}

func laneClasses() []string {
	var classes []string
	for _, f := range laneFaults {
		classes = append(classes, f.class)
	}
	return classes
}

// inLane makes a fault of a class in some lane.
func (p *planter) inLane(class string) bool {
	for _, f := range laneFaults {
		if f.class != class {
			continue
		}
		lanes := p.lanes(f.usual, f.ofNotes)
		if len(lanes) == 0 {
			lanes = p.lanes(f.least, f.ofNotes)
		}
		if len(lanes) == 0 {
			return false
		}
		l := p.choose(lanes)
		to := make([]int, len(l.pins))
		for i := range to {
			to[i] = i
		}
		first := p.relay.Name(*l.pins[0])
		p.describe(l.in, "%s from %s: %s", l.in, first, f.mix(p, l, to))
		p.move(l, to)
	}
	return len(p.fault.Pins) > 0
}

// width is one of some widths that a lane has, half of the lane when it has none.
func (p *planter) width(most int, widths ...int) int {
	widths = slices.DeleteFunc(widths, func(w int) bool { return w > most })
	if len(widths) == 0 {
		return max(1, most/2)
	}
	return pick(p, widths)
}
