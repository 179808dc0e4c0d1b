package cause

import (
	"fmt"
	"slices"

	"trundle/sim/wiring"
)

// furthest is by how many places a run is thought to be written wrong.
const furthest = 24

// onOtherPins guesses at the pins of a row: some pins higher or lower, at the
// same pins of another board, where pins are left that nothing uses, or the
// other way round.
func (t tableSlips) onOtherPins(i int, s wiring.Switch) {
	g := t.g
	first, direction, wrongWay := s.Pins[0], wiring.Output, "drives-input"
	if s.Kind == wiring.Read {
		direction, wrongWay = wiring.Input, "reads-output"
	}
	shape := shapeOf(s)
	tried := map[wiring.Terminal]bool{first: len(shape) == len(s.Pins)}
	from := func(start wiring.Terminal) {
		if tried[start] || start.On >= len(g.r.Boards) || g.r.Boards[start.On].Direction != direction {
			return
		}
		tried[start] = true
		other := s
		other.Pins = make([]wiring.Terminal, len(shape))
		for k, pin := range shape {
			to := wiring.Terminal{On: start.On, Pin: pin - first.Pin + start.Pin}
			if other.Pins[k] = to; to.Pin < 1 || to.Pin > pinsOn(g.r, to.On) {
				return
			}
		}
		rule := "run-shifted"
		switch by := first.Pin - start.Pin; {
		case first.On < len(g.r.Boards) && g.r.Boards[first.On].Direction != direction:
			rule = wrongWay
		case slices.ContainsFunc(s.Pins, func(t wiring.Terminal) bool { return t.Pin > pinsOn(g.r, t.On) }):
			rule = "pin-off-board"
		case len(shape) != len(s.Pins):
			rule = "ranges-differ"
		case start.On != first.On:
			rule = "pins-mixed"
		case by == 12 || by == -12:
			rule = "octave-off"
		}
		t.keep(rule, i, other, t.pinsSaid(s, other))
	}
	from(first)
	if len(shape) > 1 {
		for by := 1; by <= furthest; by++ {
			from(wiring.Terminal{On: first.On, Pin: first.Pin - by})
			from(wiring.Terminal{On: first.On, Pin: first.Pin + by})
		}
	}
	for on := range g.r.Boards {
		from(wiring.Terminal{On: on, Pin: first.Pin})
	}
	left := t.idle
	if s.Kind == wiring.Read {
		left = t.free
	}
	for _, pin := range left {
		from(pin)
		from(wiring.Terminal{On: pin.On, Pin: pin.Pin - (shape[len(shape)-1] - first.Pin)})
	}
	if len(s.Pins) > 2 && s.Line != "" {
		for _, end := range []int{0, len(s.Pins) - 1} { // a pin skipped, or a run folded, that goes straight on
			other := s
			other.Pins = make([]wiring.Terminal, len(s.Pins))
			for k := range other.Pins {
				other.Pins[k] = wiring.Terminal{On: s.Pins[end].On, Pin: s.Pins[end].Pin + k - end}
			}
			if !slices.Equal(other.Pins, s.Pins) && other.Pins[0].Pin >= 1 && other.Pins[len(other.Pins)-1].Pin <= pinsOn(g.r, first.On) {
				t.keep("run-shifted", i, other, t.pinsSaid(s, other))
			}
		}
		other := s
		other.Pins = slices.Clone(s.Pins)
		slices.Reverse(other.Pins)
		t.keep("order-reversed", i, other, t.row(s)+" has its pins the other way round")
	}
}

// shapeOf are the numbers of the pins of a row, or of as many in a run as it has
// notes.
func shapeOf(s wiring.Switch) (numbers []int) {
	for _, pin := range s.Pins {
		numbers = append(numbers, pin.Pin)
	}
	if s.Line == "" || len(numbers) == len(s.Notes) {
		return numbers
	}
	numbers = numbers[:1]
	for k := range len(s.Notes) - 1 {
		numbers = append(numbers, numbers[k]+1)
	}
	return numbers
}

// pinsSaid says what is wrong with the pins of a row that should have others.
func (t tableSlips) pinsSaid(s, other wiring.Switch) string {
	verb := "drives"
	if s.Kind == wiring.Read {
		verb = "reads"
	}
	is, belongs := s.Pins[0], other.Pins[0]
	if len(s.Pins) != len(other.Pins) {
		return fmt.Sprintf("%s has %d pins for %d notes", t.row(s), len(s.Pins), len(s.Notes))
	}
	if is.On == belongs.On && len(s.Pins) > 1 {
		return t.row(s) + " " + placedWrong(t.g.r, s.Pins, other.Pins)
	}
	left := t.idle
	if s.Kind == wiring.Read {
		left = t.free
	}
	if slices.Contains(left, belongs) {
		return fmt.Sprintf("%s %s %s, and nothing %s %s", t.row(s), verb, pinWords(t.g.r, s.Pins), verb, pinWords(t.g.r, other.Pins))
	}
	return fmt.Sprintf("%s %s %s, where %s is meant", t.row(s), verb, pinWords(t.g.r, s.Pins), pinWords(t.g.r, other.Pins))
}

// placedWrong says how the pins of a row of the table differ from those that it
// should have: all by as many, or from some place on, since a pin is skipped
// there or the run goes back.
func placedWrong(r *wiring.Relay, is, belongs []wiring.Terminal) string {
	by := func(at int) int { return is[at].Pin - belongs[at].Pin }
	at := 0
	for at < len(is)-1 && by(at) == 0 {
		at++
	}
	if !slices.ContainsFunc(places(len(is)), func(k int) bool { return by(k) != by(0) }) {
		return "has its pins " + placesOff(by(0))
	}
	pin := func(pins []wiring.Terminal) string { return pinWords(r, pins[at:at+1]) }
	if at > 0 {
		onward, meant := is[at].Pin-is[at-1].Pin, belongs[at].Pin-belongs[at-1].Pin
		switch {
		case onward == 1 && meant == 2:
			return fmt.Sprintf("does not skip %s: from there on its pins are %s", pin(is), placesOff(by(at)))
		case onward == 2 && meant == 1:
			return fmt.Sprintf("skips %s: from there on its pins are %s", pin(belongs), placesOff(by(at)))
		case onward > 0 && meant < 0:
			return fmt.Sprintf("goes straight on to %s, where the run folds back to %s", pin(is), pin(belongs))
		case onward < 0 && meant > 0:
			return fmt.Sprintf("folds back to %s, where the run goes straight on to %s", pin(is), pin(belongs))
		}
	}
	return fmt.Sprintf("has %s where %s is meant", pin(is), pin(belongs))
}
