package cause

import (
	"slices"

	"trundle/console"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// Found is what a diagnosis has found.
type Found struct {
	Causes      []Cause
	Unexplained []int // valves that differ and that no cause accounts for, ascending
}

// suspect is a mistake with the change that cures it, if there is one.
type suspect struct {
	group
	model *model
	layer layer
	cure  change
	cured bool // there is a change; whether it cures is not yet known
}

// Find explains why a relay differs from its instrument; differing are the
// valves that the proof has found to differ.
func Find(in *console.Instrument, r *wiring.Relay, differing []int) Found {
	var best []suspect
	left := differing
	for _, trust := range []bool{true, false} {
		suspects, rest := diagnose(in, r, trust, differing)
		if best == nil || len(rest) < len(left) || len(rest) == len(left) && len(suspects) < len(best) {
			best, left = suspects, rest
		}
		if len(left) == 0 && len(best) == 1 {
			break
		}
	}
	return settle(in, r, best, differing, left)
}

// diagnose looks for mistakes, cures them in memory, and looks again at what
// still differs, for a mistake may hide another. It begins with what was
// soldered otherwise than planned. It returns the valves that differ in the end.
func diagnose(in *console.Instrument, r *wiring.Relay, trust bool, differing []int) ([]suspect, []int) {
	var all []suspect
	left := differing
	for round := range 4 {
		m := newModel(in, r)
		var suspects []suspect
		if round == 0 {
			for _, g := range m.groupMoved(m.departures()) {
				suspects = append(suspects, m.cureMoved(g))
			}
		} else {
			m.match(trust)
			suspects = m.suspects()
		}
		if len(suspects) == 0 {
			if round == 0 {
				continue
			}
			break
		}
		cured := apply(r, suspects)
		rest := proof.Differing(in, cured)
		if round > 0 && len(rest) >= len(left) {
			break
		}
		all, left, r = append(all, suspects...), rest, cured
		if len(left) == 0 {
			break
		}
	}
	return all, left
}

func apply(r *wiring.Relay, suspects []suspect) *wiring.Relay {
	var changes []change
	for _, s := range suspects {
		if s.cured {
			changes = append(changes, s.cure)
		}
	}
	return with(r, changes...)
}

// suspects are the mistakes that a matched model shows, each with its cure.
func (m *model) suspects() []suspect {
	moved, gaps := m.look()
	var all []suspect
	for _, g := range m.groupMoved(moved) {
		all = append(all, m.cureMoved(g))
	}
	for _, g := range m.groupGaps(gaps) {
		s := suspect{group: g, model: m, layer: inSwitching}
		s.cure, s.cured = m.rewrite(g.gaps)
		all = append(all, s)
	}
	return all
}

// cureMoved cures what is moved where it is most likely to have been.
func (m *model) cureMoved(g group) suspect {
	s := suspect{group: g, model: m}
	for _, s.layer = range m.blame(g.moved) {
		switch s.layer {
		case inWiring:
			s.cure, s.cured = m.rehang(g.moved)
		case inJoins:
			s.cure, s.cured = m.rejoin(g.moved)
		case inSwitching:
			s.cure, s.cured = m.repin(g.moved)
		}
		if s.cured {
			break
		}
	}
	return s
}

// settle proves the causes. What can be left uncured without another valve
// going wrong is no cause, and dropped; what is wrong with everything cured but
// this one is this one's doing.
func settle(in *console.Instrument, r *wiring.Relay, suspects []suspect, differing, left []int) Found {
	found := Found{Unexplained: left}
	suspects = slices.DeleteFunc(slices.Clone(suspects), func(s suspect) bool { return !s.cured })
	for i := len(suspects) - 1; i >= 0; i-- {
		others := slices.Delete(slices.Clone(suspects), i, i+1)
		claimed := differing
		if len(others) > 0 {
			claimed = proof.Differing(in, apply(r, others))
		}
		claimed = slices.DeleteFunc(slices.Clone(claimed), func(v int) bool { return slices.Contains(left, v) })
		if len(claimed) == 0 {
			suspects = others
		} else {
			found.Causes = append(found.Causes, suspects[i].cause(claimed))
		}
	}
	slices.SortStableFunc(found.Causes, func(a, b Cause) int { return a.At.Compare(b.At) })
	return found
}
