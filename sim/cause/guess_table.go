package cause

import (
	"fmt"
	"slices"

	"trundle/sim/wiring"
)

// tableSlips guesses that a hand slipped in one cell of one row of the
// switching, or gave two rows each other's pins. Only what mends all is a guess
// by itself.
func (g *guesser) tableSlips() {
	if g.in.Valves > large || g.r.Derived {
		return
	}
	t := tableSlips{g: g, free: g.unused(wiring.Read), idle: g.unused(wiring.Drive)}
	usual := map[string][]wiring.Switch{}
	for _, s := range wiring.Derive(g.r, g.in) {
		usual[rowKey(s)] = append(usual[rowKey(s)], s)
	}
	for i, s := range g.r.Switch {
		if s.Len() == 0 {
			continue
		}
		if s.Kind != wiring.Couple {
			t.onOtherPins(i, s)
		}
		t.ofOtherNotes(i, s)
		t.byOtherNames(i, s)
		for _, other := range usual[rowKey(s)] {
			if s.Kind != wiring.Couple && slices.Equal(s.Notes, other.Notes) && !slices.Equal(s.Pins, other.Pins) {
				t.keep("run-shifted", i, other, t.pinsSaid(s, other))
			}
		}
	}
	t.exchanged()
	t.copied()
}

// tableSlips makes guesses at rows of the switching.
type tableSlips struct {
	g    *guesser
	free []wiring.Terminal // pins that a row should read and none does
	idle []wiring.Terminal // pins that a row should drive and none does
}

// keep keeps a guess at a row when it mends all; one that only helps apart.
func (t tableSlips) keep(rule string, i int, other wiring.Switch, says string) {
	g := t.g
	o := g.switched(i, other)
	x := guess{rule: rule, cure: replaced(i, g.r.Switch[i], other), row: i, size: 1, says: says, left: o.left, gone: o.gone, more: o.fresh}
	if x.whole() {
		g.guesses = append(g.guesses, x)
	} else if x.gone > 0 && x.more == 0 {
		g.slipped = append(g.slipped, x)
	}
}

// row is a row as the table writes it.
func (t tableSlips) row(s wiring.Switch) string {
	return "the row " + paper{t.g.in, t.g.r}.switchText(s)
}

// placesOff says by how many places a run is written too high.
func placesOff(by int) string {
	which := "high"
	if by < 0 {
		by, which = -by, "low"
	}
	if by == 1 {
		return "one too " + which
	}
	return fmt.Sprintf("%d too %s", by, which)
}

// exchanged guesses that two rows have each other's pins.
func (t tableSlips) exchanged() {
	g := t.g
	const many = 160 // rows
	if len(g.r.Switch) > many {
		return
	}
	astray := make([]bool, len(g.r.Switch)) // what makes something wrong, or has the pins of what no valve depends on
	for i, s := range g.r.Switch {
		astray[i] = g.switched(i).gone > 0 || slices.ContainsFunc(s.Pins, g.blows)
	}
	for j, b := range g.r.Switch {
		for i, a := range g.r.Switch[:j] {
			if len(a.Pins) == 1 && !astray[i] && !astray[j] || a.Kind != b.Kind || a.Kind == wiring.Couple || len(a.Pins) != len(b.Pins) || slices.Equal(a.Pins, b.Pins) || a.Line == "" != (b.Line == "") {
				continue
			}
			c, d := a, b
			c.Pins, d.Pins = b.Pins, a.Pins
			list := slices.Clone(g.rows)
			fresh := steps([]wiring.Switch{c, d}, g.w.nets, g.names)
			list[i], list[j] = fresh[0], fresh[1]
			o := g.again(list)
			x := guess{rule: "pins-swapped", cure: replaced(i, a, c).and(replaced(j, b, d)), row: i, size: 2, left: o.left, gone: o.gone, more: o.fresh,
				says: fmt.Sprintf("%s and the row %s have each other's pins", t.row(a), paper{g.in, g.r}.switchText(b))}
			if x.whole() {
				g.guesses = append(g.guesses, x)
			}
		}
	}
}
