package cause

import (
	"cmp"
	"fmt"
	"slices"

	"trundle/sim/wiring"
)

// onOtherPins guesses that one end of a join belongs where something is lacking,
// the nearest pins first.
func (s joinSlips) onOtherPins(i, end int) {
	r, j := s.g.r, s.g.r.Joins[i]
	is, other := sides(j)[end], sides(j)[1-end]
	var starts []wiring.Terminal
	for _, t := range s.lacking {
		if (t.On < len(r.Boards)) != (is[0].On < len(r.Boards)) {
			continue
		}
		for _, pin := range is {
			if start := (wiring.Terminal{On: t.On, Pin: t.Pin - pin.Pin + is[0].Pin}); start != is[0] && !slices.Contains(starts, start) && s.fits(is, start) {
				starts = append(starts, start)
			}
		}
	}
	slices.SortStableFunc(starts, func(a, b wiring.Terminal) int { return cmp.Compare(off(is[0], a), off(is[0], b)) })
	const some = 12
	for _, start := range starts[:min(some, len(starts))] {
		by := ending(j, end, from(is, start))
		pins := sides(by)[end]
		rule, says := "run-shifted", fmt.Sprintf("%s has its pins on %s %s", s.called(j), r.Board(start.On), placesOff(is[0].Pin-start.Pin))
		switch k := is[0].Pin - start.Pin; {
		case start.On != is[0].On:
			rule = "pins-mixed"
			says = fmt.Sprintf("%s is joined to %s, and nothing to %s", pinWords(r, other), pinWords(r, is), pinWords(r, pins))
			if slices.ContainsFunc(is, func(t wiring.Terminal) bool { return s.busy(i, t) }) {
				rule = "pin-used-twice"
				says = fmt.Sprintf("%s is joined to %s, where something is already, and nothing to %s", pinWords(r, other), pinWords(r, is), pinWords(r, pins))
			}
		case k == 12 || k == -12:
			rule = "octave-off"
		}
		s.keep(rule, i, &by, says)
	}
}

// busy reports whether a terminal has something beside a join.
func (s joinSlips) busy(i int, t wiring.Terminal) bool {
	rows := s.g.r.Soldered()
	net := s.g.w.nets.Of(t)
	if net < 0 {
		return false
	}
	for _, h := range s.g.w.nets.Hung(net) {
		if t.On < len(s.g.r.Boards) && rows[h.Row].Pins[h.At] == t && rows[h.Row].Kind != wiring.SpareKind {
			return true
		}
	}
	for _, l := range s.g.w.nets.Legs(net) {
		if j := s.g.r.Joins[l.Join]; l.Join != i && (j.From[l.At] == t || j.To[l.At] == t) {
			return true
		}
	}
	return false
}

// off is how far a run is moved: to another board, or along its own.
func off(is, start wiring.Terminal) int {
	by := max(is.Pin-start.Pin, start.Pin-is.Pin)
	if is.On != start.On {
		by = 2*by + 1
	}
	return by
}

// from is a run that begins elsewhere.
func from(run []wiring.Terminal, start wiring.Terminal) []wiring.Terminal {
	moved := make([]wiring.Terminal, len(run))
	for i, t := range run {
		moved[i] = wiring.Terminal{On: start.On, Pin: t.Pin - run[0].Pin + start.Pin}
	}
	return moved
}

// fits reports whether a run may begin elsewhere: on its own pins, and free ones.
func (s joinSlips) fits(run []wiring.Terminal, start wiring.Terminal) bool {
	return !slices.ContainsFunc(from(run, start), func(t wiring.Terminal) bool { return !s.free(t) && !slices.Contains(run, t) })
}

// inOtherOrder guesses that one end of a join is one run, as long as the other, or
// the other way round.
func (s joinSlips) inOtherOrder(i, end int) {
	r, j := s.g.r, s.g.r.Joins[i]
	is, other := sides(j)[end], sides(j)[1-end]
	try := func(rule, says string, pins []wiring.Terminal) {
		if slices.Equal(pins, is) || slices.ContainsFunc(pins, func(t wiring.Terminal) bool { return t.Pin < 1 || t.Pin > pinsOn(r, t.On) }) {
			return
		}
		by := ending(j, end, pins)
		s.keep(rule, i, &by, says)
	}
	n := len(other)
	rule, says := "pins-mixed", fmt.Sprintf("%s has its pins on %s out of order", s.called(j), r.Board(is[0].On))
	if len(is) != n {
		rule, says = "ranges-differ", fmt.Sprintf("%s has %d pins on %s for %d on %s", s.called(j), len(is), r.Board(is[0].On), n, r.Board(other[0].On))
		if before := onwards(is, n-len(is), true); len(is) < n {
			try(rule, says, slices.Concat(before, is))
			try(rule, says, slices.Concat(is, onwards(is, n-len(is), false)))
		}
	}
	low, high := slices.MinFunc(is, compareTerminals), slices.MaxFunc(is, compareTerminals)
	try(rule, says, runOf(low, n))
	try(rule, says, runOf(wiring.Terminal{On: high.On, Pin: high.Pin - n + 1}, n))
	if len(is) > 2 {
		turned := slices.Clone(is)
		slices.Reverse(turned)
		try("order-reversed", fmt.Sprintf("%s has its pins on %s the other way round", s.called(j), r.Board(is[0].On)), turned)
	}
}

// runOf is so many terminals one after the other.
func runOf(first wiring.Terminal, n int) []wiring.Terminal {
	run := make([]wiring.Terminal, n)
	for i := range run {
		run[i] = wiring.Terminal{On: first.On, Pin: first.Pin + i}
	}
	return run
}

// onwards are so many terminals that follow a run in its own steps, or come before
// it; none of a run of one.
func onwards(run []wiring.Terminal, count int, before bool) (more []wiring.Terminal) {
	if len(run) < 2 {
		return nil
	}
	end, beside := run[len(run)-1], run[len(run)-2]
	if before {
		end, beside = run[0], run[1]
	}
	for by := 1; by <= count; by++ {
		more = append(more, wiring.Terminal{On: end.On, Pin: end.Pin + by*(end.Pin-beside.Pin)})
	}
	if before {
		slices.Reverse(more)
	}
	return more
}
