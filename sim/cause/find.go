package cause

import (
	"slices"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// Found is what a diagnosis has found.
type Found struct {
	Causes      []Cause
	Unexplained []int // valves that differ and that no cause accounts for, ascending
}

// Of is what has been found of some valves only: causes of none of them go.
func (f Found) Of(valves []int) Found {
	other := func(v int) bool { _, is := slices.BinarySearch(valves, v); return !is }
	var of Found
	for _, c := range f.Causes {
		if c.Valves = slices.DeleteFunc(slices.Clone(c.Valves), other); len(c.Valves) > 0 {
			of.Causes = append(of.Causes, c)
		}
	}
	of.Unexplained = slices.DeleteFunc(slices.Clone(f.Unexplained), other)
	return of
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
// valves that the proof has found to differ. It begins with what was soldered
// otherwise than planned.
func Find(in *console.Instrument, r *wiring.Relay, differing []int) Found {
	soldered, cured, left := departed(in, r, differing)
	if len(left) == 0 {
		return settle(in, r, soldered, differing, left)
	}
	best, rest := soldered, left
	for i, trust := range []bool{true, false} {
		more, after := diagnose(in, cured, trust, left)
		suspects := slices.Concat(soldered, more)
		if i == 0 || len(after) < len(rest) || len(after) == len(rest) && len(suspects) < len(best) {
			best, rest = suspects, after
		}
		if len(rest)*10 < len(differing) && len(best) <= 2 {
			break
		}
	}
	return settle(in, r, best, differing, rest)
}

// departed are the mistakes of soldering that the plan shows, the relay cured
// of them, and the valves that still differ.
func departed(in *console.Instrument, r *wiring.Relay, differing []int) ([]suspect, *wiring.Relay, []int) {
	if r.Wired == nil {
		return nil, r, differing
	}
	m := newModel(in, r)
	var suspects []suspect
	for _, g := range m.groupMoved(m.departures()) {
		suspects = append(suspects, m.cureMoved(g))
	}
	if len(suspects) == 0 {
		return nil, r, differing
	}
	cured := apply(r, suspects)
	return suspects, cured, proof.Differing(in, cured)
}

// diagnose looks for mistakes, cures them in memory, and looks again at what
// still differs, for a mistake may hide another. It returns the valves that
// differ in the end.
func diagnose(in *console.Instrument, r *wiring.Relay, trust bool, left []int) ([]suspect, []int) {
	var all []suspect
	for range 3 {
		m := newModel(in, r)
		m.match(trust)
		suspects := m.suspects()
		if len(suspects) == 0 {
			break
		}
		cured := apply(r, suspects)
		rest := proof.Differing(in, cured)
		if len(rest) >= len(left) {
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
	var found Found
	suspects = enough(in, r, slices.DeleteFunc(slices.Clone(suspects), func(s suspect) bool { return !s.cured }), left)
	shared := map[int]bool{} // valves that no one cause alone has made wrong
	for _, v := range differing {
		shared[v] = !slices.Contains(left, v)
	}
	var blamed []suspect
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
			blamed = append(blamed, suspects[i])
			for _, v := range claimed {
				delete(shared, v)
			}
		}
	}
	for i, s := range blamed { // a valve that either of two cures would mend belongs to both
		if !slices.ContainsFunc(differing, func(v int) bool { return shared[v] }) {
			break
		}
		still := proof.Differing(in, apply(r, []suspect{s}))
		for _, v := range differing {
			if shared[v] && !slices.Contains(still, v) {
				found.Causes[i].Valves = append(found.Causes[i].Valves, v)
			}
		}
		slices.Sort(found.Causes[i].Valves)
	}
	found.Unexplained = unclaimed(differing, found.Causes)
	found.Causes = placed(found.Causes, r.At.Switching)
	slices.SortStableFunc(found.Causes, func(a, b Cause) int { return a.At.Compare(b.At) })
	return found
}

// unclaimed are the valves that no cause accounts for.
func unclaimed(differing []int, causes []Cause) []int {
	claimed := map[int]bool{}
	for _, c := range causes {
		for _, v := range c.Valves {
			claimed[v] = true
		}
	}
	return slices.DeleteFunc(slices.Clone(differing), func(v int) bool { return claimed[v] })
}

// enough are so many of the largest suspects that their cures leave no more
// differing than those of all.
func enough(in *console.Instrument, r *wiring.Relay, suspects []suspect, left []int) []suspect {
	slices.SortStableFunc(suspects, func(a, b suspect) int { return len(b.moved) + len(b.gaps) - len(a.moved) - len(a.gaps) })
	for n := 1; n < len(suspects); n *= 2 {
		if len(proof.Differing(in, apply(r, suspects[:n]))) <= len(left) {
			return suspects[:n]
		}
	}
	return suspects
}

// placed joins causes in rows of no file, which mend what another cure has
// written, with the cause of that one; at stands for it where there is none.
func placed(causes []Cause, at finding.Place) []Cause {
	nowhere := func(c Cause) bool { return c.At.File == "" }
	whole := slices.DeleteFunc(slices.Clone(causes), nowhere)
	for _, c := range causes {
		switch {
		case !nowhere(c):
		case len(whole) == 0:
			c.At = at
			whole = append(whole, c)
		default:
			first := &whole[0]
			first.Valves = slices.Concat(first.Valves, c.Valves)
			slices.Sort(first.Valves)
			first.Valves = slices.Compact(first.Valves)
			first.Cure = slices.Concat(first.Cure, c.Cure)
		}
	}
	return whole
}
