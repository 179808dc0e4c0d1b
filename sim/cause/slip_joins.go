package cause

import (
	"fmt"
	"slices"

	"trundle/sim/wiring"
)

// joinSlips guesses at the joins as slips does at the wiring: that a hand slipped in
// one cell of one join, gave two each other's plugs, left one out or has one too
// many. Like it, only what other rows leave open tells where a join belongs.
func (g *guesser) joinSlips() {
	if g.r.Derived {
		return // the table follows the joins, wherever they lead
	}
	s := joinSlips{g: g, ends: g.netEnds()}
	s.lacking = s.whatLacks()
	wrong := g.wrongItems()
	var among []int
	for i, j := range g.r.Joins {
		if len(j.From) == 0 || len(j.To) == 0 {
			continue
		}
		s.goingOn(i)
		if !g.touches(j.From, wrong) && !g.touches(j.To, wrong) && !slices.ContainsFunc(slices.Concat(j.From, j.To), s.lacks) {
			continue
		}
		among = append(among, i)
		s.keep("pin-used-twice", i, nil, fmt.Sprintf("%s should not be joined to %s: both have something already", pinWords(g.r, j.From), pinWords(g.r, j.To)))
		for end := range 2 {
			s.onOtherPins(i, end)
			s.inOtherOrder(i, end)
		}
	}
	const many = 8 // two that are exchanged spoil no more than what hangs at them
	if len(among) <= many {
		for n, k := range among {
			for _, i := range among[:n] {
				s.exchanged(i, k)
			}
		}
	}
	s.leftOut()
}

// joinSlips makes guesses at joins.
type joinSlips struct {
	g       *guesser
	ends    []netEnds         // by net
	lacking []wiring.Terminal // on nets of which one end is missing, boards before strips
}

// netEnds is what a net has: a pin of a board, one that the table uses, and
// something that hangs there and is not spare.
type netEnds struct{ board, used, hung bool }

func (g *guesser) netEnds() []netEnds {
	all := make([]netEnds, g.w.nets.Len())
	for net := range all {
		all[net].board = g.w.nets.Terminals(net)[0].On < len(g.r.Boards)
		all[net].hung = !g.bare(net)
	}
	for _, s := range g.rows {
		for _, net := range s.nets {
			if net >= 0 {
				all[net].used = true
			}
		}
	}
	return all
}

// lacks reports whether a terminal is on a net of which one end is missing.
func (s joinSlips) lacks(t wiring.Terminal) bool {
	net := s.g.w.nets.Of(t)
	return net >= 0 && s.ends[net].hung != s.ends[net].board && (s.ends[net].hung || s.ends[net].used)
}

// free reports whether a terminal is there and may be joined to something.
func (s joinSlips) free(t wiring.Terminal) bool {
	net := s.g.w.nets.Of(t)
	return net >= 0 && !(s.ends[net].hung && s.ends[net].board)
}

// whatLacks are the terminals that lack something, boards before strips.
func (s joinSlips) whatLacks() (list []wiring.Terminal) {
	for net := range s.ends {
		for _, t := range s.g.w.nets.Terminals(net) {
			if s.lacks(t) {
				list = append(list, t)
			}
		}
	}
	slices.SortFunc(list, compareTerminals)
	return list
}

// sides are both ends of a join.
func sides(j wiring.Join) [2][]wiring.Terminal { return [2][]wiring.Terminal{j.From, j.To} }

// ending is a join with other terminals at one end.
func ending(j wiring.Join, end int, pins []wiring.Terminal) wiring.Join {
	if end == 0 {
		j.From = pins
	} else {
		j.To = pins
	}
	return j
}

// keep guesses that a join should be another, or be no more.
func (s joinSlips) keep(rule string, i int, by *wiring.Join, says string) {
	c := s.rejoined(i)
	if by != nil {
		c.joins = []wiring.Join{*by}
	}
	s.kept(rule, c, len(s.g.r.Joins[i].From), says)
}

func (s joinSlips) kept(rule string, c change, size int, says string) {
	s.g.keep(guess{rule: rule, cure: c, row: -1, size: size, says: says}, s.g.changed(c))
}

// rejoined takes a join out as a whole.
func (s joinSlips) rejoined(i int) change {
	c := newChange()
	for at := range s.g.r.Joins[i].From {
		c.unjoin[element{i, at}] = true
	}
	return c
}

// called names a join.
func (s joinSlips) called(j wiring.Join) string {
	return fmt.Sprintf("the join of %s and %s", s.g.r.Board(j.From[0].On), s.g.r.Board(j.To[0].On))
}
