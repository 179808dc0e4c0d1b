package cause

import (
	"slices"

	"trundle/console"
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
	plain := len(shown) == 1 && (shown[0].unmistakable() && !m.mayBeSlip(shown[0]) || in.Valves > large)
	if plain && len(proof.Differing(in, apply(r, shown))) == 0 {
		return shown
	}
	g := newGuesser(in, r)
	found, ok := g.few(shown)
	if !ok && len(g.refuting) > 0 && in.Valves <= large { // once more, knowing what was wrong
		g = newGuesser(in, r, g.refuting...)
		found, ok = g.few(shown)
	}
	if ok && (len(found) == 1 || in.Valves > large) {
		return m.either(g, found)
	}
	if in.Valves > large {
		return shown
	}
	some := m.guessed(found)
	if len(some) > 0 && m.effort(some) <= 2*len(some) && !loses(m.in, m.r, together(some)) {
		return some
	}
	return m.easiest(some, g.chain(m, trust), shown)
}

// together is the cure of some suspects.
func together(set []suspect) change {
	c := newChange()
	for _, s := range set {
		c = c.and(s.cure)
	}
	return c
}

// effort is what it takes to write the cure of some suspects.
func (m *model) effort(set []suspect) int { return m.paper().effort(together(set)) }

// easiest is of some sets of suspects the one that takes least to write, of
// those that cure all; what is sound of the last where none does.
func (m *model) easiest(sets ...[]suspect) []suspect {
	last := sets[len(sets)-1]
	sets = slices.DeleteFunc(sets, func(set []suspect) bool { return len(set) == 0 })
	slices.SortStableFunc(sets, func(a, b []suspect) int { return m.effort(a) - m.effort(b) })
	for _, set := range sets {
		if !loses(m.in, m.r, together(set)) && len(proof.Differing(m.in, apply(m.r, set))) == 0 {
			return set
		}
	}
	return sound(m.in, m.r, last)
}

// few makes guesses, and finds one, two or a few that together cure all.
func (g *guesser) few(shown []suspect) ([]guess, bool) {
	if one, ok := g.alone(shown); ok {
		return one, true
	}
	if all, ok := g.firstProven(g.untold); ok {
		return all, true
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
	g.slips()
	g.joinSlips()
	g.suspected(shown, false)
	wired, ok := g.easiest()
	g.tableSlips()
	p := paper{g.in, g.r}
	if ok && (wired[0].rule != "pins-swapped" || p.effort(wired[0].cure) < 2) {
		return wired, ok
	}
	if !g.r.Derived {
		g.atRows()
		g.missing()
		g.untold = g.unread()
	}
	g.suspected(shown, true)
	table, known := g.one()
	if ok && (!known || p.effort(wired[0].cure) <= p.effort(table[0].cure)) {
		return wired, true
	}
	return table, known
}

// chain finds a mistake behind another: with one of those mended that mend
// most, or one of such slips in the table, one that accounts for all that is left.
func (g *guesser) chain(m *model, trust bool) []suspect {
	const links = 3
	var open []guess
	groups := g.telling()
	for _, group := range groups[:min(links, len(groups))] {
		open = append(open, group[0])
	}
	slices.SortStableFunc(g.slipped, func(a, b guess) int { return b.gone - a.gone })
	open = append(open, g.slipped[:min(links, len(g.slipped))]...)
	for _, x := range open {
		first := m.guessed([]guess{x})
		cured := apply(g.r, first)
		behind := newModel(g.in, cured)
		behind.match(trust)
		if one, ok := newGuesser(g.in, cured).alone(behind.suspects()); ok {
			return carry(g.r, first, behind.guessed(one))
		}
	}
	return nil
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
