package cause

import (
	"fmt"
	"slices"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// large is of how many valves an instrument is that is not thought about for
// long.
const large = 4000

// look finds mistakes that account for what differs: one or two that account
// for all of it, or those that a matched model shows.
func look(in *console.Instrument, r *wiring.Relay, trust bool) []suspect {
	m := newModel(in, r)
	m.match(trust)
	shown := m.suspects()
	plain := len(shown) == 1 && (shown[0].unmistakable() || in.Valves > large)
	if plain && len(proof.Differing(in, apply(r, shown))) == 0 {
		return shown
	}
	g := newGuesser(in, r)
	found, ok := g.few(shown)
	if !ok && len(g.refuting) > 0 && in.Valves <= large { // once more, knowing what was wrong
		g = newGuesser(in, r, g.refuting...)
		found, ok = g.few(shown)
	}
	if ok {
		return m.guessed(found)
	}
	if in.Valves > large {
		return shown
	}
	if after := g.chain(m, trust); after != nil {
		return after
	}
	return shown
}

// few makes guesses, and finds one, two or a few that together cure all.
func (g *guesser) few(shown []suspect) ([]guess, bool) {
	if one, ok := g.alone(shown); ok {
		return one, true
	}
	if two, ok := g.pair(); ok {
		return two, true
	}
	some, ok := g.cover()
	return some, ok && len(some) <= max(2, len(shown))
}

// alone makes guesses, and finds the one that cures all.
func (g *guesser) alone(shown []suspect) ([]guess, bool) {
	g.atWiring()
	g.suspected(shown, false)
	if one, ok := g.one(); ok {
		return one, ok
	}
	if !g.r.Derived {
		g.atRows()
		g.missing()
	}
	g.suspected(shown, true)
	return g.one()
}

// chain finds a mistake behind another: with one of those mended that mend
// most, one that accounts for all that is left.
func (g *guesser) chain(m *model, trust bool) []suspect {
	const links = 3
	groups := g.telling()
	for _, group := range groups[:min(links, len(groups))] {
		first := m.guessed(group[:1])
		cured := apply(g.r, first)
		behind := newModel(g.in, cured)
		behind.match(trust)
		if one, ok := newGuesser(g.in, cured).alone(behind.suspects()); ok {
			return carry(g.r, first, behind.guessed(one))
		}
	}
	return nil
}

// unmistakable reports whether a suspect is a mistake that no other could be
// taken for.
func (s suspect) unmistakable() bool {
	return s.layer != inSwitching && slices.Contains([]string{"pins-swapped", "pin-open", "pins-bridged"}, s.rule)
}

// suspected takes suspects of the model for guesses: those of what moves on
// pins as one, or all others.
func (g *guesser) suspected(suspects []suspect, others bool) {
	for _, s := range suspects {
		if others == (s.layer == inSwitching || s.vague()) {
			g.keep(guess{rule: s.rule, cure: s.cure, row: -1, size: s.weight(), is: &s}, g.changed(s.cure))
		}
	}
}

// vague reports whether a suspect is only gathered from pins.
func (s suspect) vague() bool {
	return slices.Contains([]string{"pins-mixed", "plugs-swapped", "boards-swapped", "keyboards-swapped", "ranks-swapped"}, s.rule)
}

// weight is how many things a suspect says are not as they should be. What is
// only gathered from the pins weighs more than what moves as one.
func (s suspect) weight() int {
	switch {
	case s.vague():
		return 4 * len(s.moved)
	case s.rule == "pin-open" && s.layer == inSwitching,
		s.rule == "row-missing" && len(s.cure.unswitch)+len(s.moved) == 0,
		s.rule == "row-extra" && len(s.cure.switches) == 0:
		return 3
	}
	return len(s.moved) + 3*len(s.gaps)
}

// one is the guess that a proof says cures all: the one that changes least, if
// there are several.
func (g *guesser) one() ([]guess, bool) {
	var open [][]guess
	for _, x := range g.guesses {
		if x.whole() {
			open = append(open, []guess{x})
		}
	}
	return g.proven(open)
}

// guessed is guesses as suspects.
func (m *model) guessed(guesses []guess) (all []suspect) {
	for _, x := range guesses {
		all = append(all, m.suspect(x))
	}
	return all
}

func (m *model) suspect(x guess) suspect {
	if x.is != nil {
		return *x.is
	}
	s := suspect{group: group{rule: x.rule}, cure: x.cure, cured: true, layer: inSwitching}
	if x.row >= 0 {
		row := m.r.Switch[x.row]
		phrase := gapPhrases[x.rule]
		if phrase == "" {
			phrase = "has its pins out of order"
		}
		s.message = "the row " + m.paper().switchText(row) + " " + phrase
		s.at, s.pins = row.At, slices.Clone(row.Pins)
		if len(x.cure.switches) == 1 && !slices.Equal(x.cure.switches[0].Pins, row.Pins) {
			s.pins = otherwise(row, x.cure.switches[0])
		}
		slices.SortFunc(s.pins, compareTerminals)
		return s
	}
	if len(x.cure.switches) > 0 {
		row := x.cure.switches[0]
		s.message = fmt.Sprintf("the row %s %s", m.paper().switchText(row), gapPhrases[x.rule])
		s.at, s.pins = m.addedAt(row), row.Pins
		return s
	}
	if s.layer = inWiring; len(x.cure.hang) == 0 {
		s.layer = inJoins
	}
	s.moved = m.rearranged(x.cure)
	return m.told(s)
}

// otherwise are the pins that two rows have for different notes.
func otherwise(a, b wiring.Switch) []wiring.Terminal {
	notes := [2]map[wiring.Terminal]console.Note{{}, {}}
	var pins []wiring.Terminal
	for i, s := range []wiring.Switch{a, b} {
		for at := range s.Len() {
			if s.Line != "" {
				notes[i][s.Pins[at]] = s.Notes[at]
			}
			if !slices.Contains(pins, s.Pins[at]) {
				pins = append(pins, s.Pins[at])
			}
		}
	}
	return slices.DeleteFunc(pins, func(t wiring.Terminal) bool {
		x, was := notes[0][t]
		y, is := notes[1][t]
		return was && is && x == y
	})
}

// addedAt is where a row that is missing is spoken of: the row that reads its
// control, or its line.
func (m *model) addedAt(row wiring.Switch) finding.Place {
	for _, s := range m.r.Switch {
		if s.Kind == wiring.Read && s.Line == "" && slices.ContainsFunc(row.Control, func(l wiring.Literal) bool { return !l.Not && l.Label == s.Control[0].Label }) {
			return s.At
		}
	}
	for _, s := range m.r.Switch {
		if s.Kind == wiring.Read && s.Line == row.Line && len(row.Control) == 0 {
			return s.At
		}
	}
	return m.r.At.Switching
}

// rearranged is what a change of the wiring or the joins moves, by the pins of
// the boards.
func (m *model) rearranged(c change) []moved {
	after := wiring.Nets(with(m.r, c))
	var all []moved
	for net := range m.rel.Nets.Len() {
		pin, _ := m.terminal(net)
		have, means := m.counted(m.rel.Nets, net), m.counted(after, after.Of(pin))
		if slices.Equal(have, means) || pin.On >= len(m.r.Boards) {
			continue
		}
		e := moved{net: net, input: m.r.Boards[pin.On].Direction == wiring.Input}
		if len(have) > 0 {
			e.have = have[0]
		}
		if len(means) > 0 {
			e.means = means[0]
		}
		all = append(all, e)
	}
	return all
}
