package cause

import (
	"slices"

	"trundle/console/finding"
	"trundle/sim/wiring"
)

// suspect is a mistake that may have been made, with the change that cures it.
type suspect struct {
	group
	layer layer
	cure  change
	cured bool // there is a change; whether it cures is not yet known

	message string
	at      finding.Place
	pins    []wiring.Terminal
	others  []suspect // that would account for it alone by changing as little
	less    bool      // of one of others: it takes more to write
}

// suspects are the mistakes that a matched model shows, each with its cure.
func (m *model) suspects() []suspect {
	moved, gaps := m.look()
	var all []suspect
	for _, g := range m.groupMoved(moved) {
		all = append(all, m.cureMoved(g))
	}
	if m.r.Derived { // it has no rows that could be wrong
		gaps = nil
	}
	for _, g := range m.groupGaps(gaps) {
		s := suspect{group: g, layer: inSwitching}
		if s.cure, s.cured = m.rewrite(g.gaps); s.cured {
			all = append(all, m.told(s))
		}
	}
	return slices.DeleteFunc(all, func(s suspect) bool { return !s.cured })
}

// unmistakable reports whether a suspect is a mistake that no other could be
// taken for.
func (s suspect) unmistakable() bool {
	return s.layer != inSwitching && slices.Contains([]string{"pins-swapped", "pin-open", "pins-bridged"}, s.rule)
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

func apply(r *wiring.Relay, suspects []suspect) *wiring.Relay {
	changes := make([]change, len(suspects))
	for i, s := range suspects {
		changes[i] = s.cure
	}
	return with(r, changes...)
}
