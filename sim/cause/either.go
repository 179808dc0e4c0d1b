package cause

import (
	"cmp"
	"fmt"
	"slices"

	"trundle/console/finding"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// easiest is the guess that a proof says cures all by writing least.
func (g *guesser) easiest() ([]guess, bool) {
	p := paper{g.in, g.r}
	type reading struct {
		guess
		effort int
	}
	var whole []reading
	for _, x := range g.guesses {
		if x.whole() {
			whole = append(whole, reading{x, p.effort(x.cure)})
		}
	}
	slices.SortStableFunc(whole, func(a, b reading) int { return cmp.Or(a.effort-b.effort, likelier(a.guess, b.guess)) })
	var open [][]guess
	for _, x := range whole {
		open = append(open, []guess{x.guess})
	}
	return g.firstProven(open)
}

// either is guesses as suspects. Where there is one, it comes with what else
// would account for all and is written with as little, in the wiring or in the
// table; and what takes still less to write comes before it.
func (m *model) either(g *guesser, found []guess) []suspect {
	all := m.guessed(found)
	if len(all) != 1 || m.r.Derived || m.r.Wired != nil && all[0].layer != inSwitching {
		return all
	}
	open := []suspect{all[0]}
	for _, x := range g.guesses {
		if x.whole() {
			open = append(open, m.suspect(x))
		}
	}
	if m.r.Wired == nil {
		for _, s := range slices.Clone(open) {
			open = append(open, m.mirrored(s)...)
		}
	}
	readings := m.readings(open)
	if m.r.Wired != nil {
		readings = slices.DeleteFunc(readings, func(r reading) bool { return r.layer != inSwitching })
	}
	const proofs = 8
	var tied []reading
	trials := newTrials(m.in, 1, g.refuting...)
	before, seen := m.broken(m.r), map[string]bool{}
	for _, r := range readings {
		said := m.said(r.suspect)
		if seen[said] {
			continue
		}
		cured := apply(m.r, []suspect{r.suspect})
		if slices.ContainsFunc(trials, func(t *trial) bool { return wrongIn(t, cured) }) {
			continue
		}
		if len(seen) == proofs {
			break
		}
		seen[said] = true
		if len(tied) > 0 && tied[0].takes < r.takes && !r.mayBeMeant(tied[0]) {
			continue
		}
		if slices.ContainsFunc(tied, r.worseThan) || m.faulty(r.suspect, before) {
			continue
		}
		if q := proof.Ask(m.in, cured); len(q.Differing()) == 0 {
			tied = append(tied, r)
		} else {
			trials = append(trials, newTrials(m.in, 1, q.Witnesses())...)
		}
	}
	if tied = m.tidiest(tied); len(tied) == 0 {
		return all
	}
	best := tied[0].suspect
	for _, r := range tied[1:] {
		r.less = cmp.Or(r.takes-tied[0].takes, r.rows-tied[0].rows) > 0
		best.others = append(best.others, r.suspect)
	}
	return []suspect{best}
}

// said is what a suspect says hangs on pins, or which rows it changes: the same
// for two that come to the same.
func (m *model) said(s suspect) string {
	if moves := m.rearranged(s.cure); s.layer == inWiring && len(moves) > 0 {
		return fmt.Sprint(moves)
	}
	return fmt.Sprint(m.paper().edits(s.cure))
}

// mirrored is what is moved on its pins, read as a mistake of another table.
func (m *model) mirrored(s suspect) (others []suspect) {
	entries := m.rearranged(s.cure)
	if len(entries) == 0 || s.layer == inSwitching && len(s.moved) == 0 || s.vague() {
		return nil
	}
	for _, in := range []layer{inWiring, inJoins, inSwitching} {
		if in == s.layer {
			continue
		}
		other := m.curedIn(in, group{rule: s.rule, moved: entries})
		if !other.cured {
			continue
		}
		other = m.told(other)
		if in == inSwitching {
			other.message, other.at = m.tableWords(other.cure)
		}
		others = append(others, other)
	}
	return others
}

// tableWords say of a cure of the table which rows have their pins wrong, and
// where the first of them stands.
func (m *model) tableWords(c change) (string, finding.Place) {
	var rows []wiring.Switch
	for i, s := range m.r.Switch {
		if _, touched := kept(c.unswitch, i, s.Len()); touched {
			rows = append(rows, s)
		}
	}
	switch len(rows) {
	case 0:
		return "a row of the table is missing", m.r.At.Switching
	case 1:
		return "the row " + m.paper().switchText(rows[0]) + " has the wrong pins", rows[0].At
	case 2:
		return fmt.Sprintf("the row %s and the row %s have each other's pins", m.paper().switchText(rows[0]), m.paper().switchText(rows[1])), rows[0].At
	}
	return fmt.Sprintf("the row %s and %d more have each other's pins", m.paper().switchText(rows[0]), len(rows)-1), rows[0].At
}
