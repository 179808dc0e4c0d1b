package cause

import (
	"slices"

	"trundle/console"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// look finds mistakes that account for what differs: one that accounts for all
// of it, or those that a matched model shows.
func look(in *console.Instrument, r *wiring.Relay, trust bool) []suspect {
	m := newModel(in, r)
	m.match(trust)
	shown := m.suspects()
	if len(shown) == 1 && unmistakable[shown[0].rule] && len(proof.Differing(in, apply(r, shown))) == 0 {
		return shown
	}
	g := newGuesser(in, r)
	for _, s := range shown {
		g.suspect(s)
	}
	g.atWiring()
	if one, ok := g.one(); ok {
		return []suspect{m.guessed(one)}
	}
	if !r.Derived {
		g.atRows()
		if one, ok := g.one(); ok {
			return []suspect{m.guessed(one)}
		}
	}
	return shown
}

// unmistakable are mistakes that no other could be taken for.
var unmistakable = map[string]bool{"pins-swapped": true, "pin-open": true, "pins-bridged": true}

// suspect takes a suspect of the model for a guess.
func (g *guesser) suspect(s suspect) {
	if o := g.changed(s.cure); o.helps() {
		g.guesses = append(g.guesses, guess{rule: s.rule, cure: s.cure, left: o.left, more: o.fresh, row: -1, size: len(s.moved) + 3*len(s.gaps), is: &s})
	}
}

// one is the guess that a proof says cures all: the one that changes least, if
// there are several. A proof that fails gives states that tell the others apart.
func (g *guesser) one() (guess, bool) {
	var open []guess
	for _, x := range g.guesses {
		if x.whole() {
			open = append(open, x)
		}
	}
	slices.SortStableFunc(open, func(a, b guess) int { return a.size - b.size })
	const proofs = 12
	for range proofs {
		if len(open) == 0 {
			break
		}
		cured := with(g.r, open[0].cure)
		q := proof.Ask(g.in, cured)
		if len(q.Differing()) == 0 {
			return open[0], true
		}
		t := newTrials(g.in, q.Witnesses(), 1)[0]
		open = slices.DeleteFunc(open[1:], func(x guess) bool {
			return slices.ContainsFunc(t.after(with(g.r, x.cure)), func(w word) bool { return w != 0 })
		})
	}
	return guess{}, false
}

// guessed is a guess as a suspect.
func (m *model) guessed(x guess) suspect {
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
		slices.SortFunc(s.pins, compareTerminals)
		return s
	}
	if s.layer = inWiring; len(x.cure.hang) == 0 {
		s.layer = inJoins
	}
	s.moved = m.rearranged(x.cure)
	return m.told(s)
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
