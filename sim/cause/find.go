package cause

import (
	"cmp"
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

// Find explains why a relay differs from its instrument; differing are the
// valves that the proof has found to differ. Nothing is proven, and so nothing
// explained, of a relay in which a row picks from its own outcome.
func Find(in *console.Instrument, r *wiring.Relay, differing []int) Found {
	if len(wiring.OwnOutcome(r.Switch)) > 0 {
		return Found{Unexplained: differing}
	}
	all := find(in, r, differing)
	for i, g := range all {
		all[i].suspect = paper{in, r}.widened(g.suspect)
	}
	slices.SortStableFunc(all, func(a, b guilty) int { return cmp.Or(a.at.Compare(b.at), cmp.Compare(a.message, b.message)) })
	cures := make([]change, len(all))
	for i, g := range all {
		cures[i] = paper{in, r}.cabled(g.cure)
	}
	for i, cure := range tidied(r, cures) {
		all[i].cure = cure
	}
	causes := paper{in, r}.causes(all)
	return Found{Causes: causes, Unexplained: unclaimed(differing, causes)}
}

// guilty is a suspect whose cure is proven, with the valves it makes wrong.
type guilty struct {
	suspect
	valves []int
}

// find begins with what was soldered otherwise than planned.
func find(in *console.Instrument, r *wiring.Relay, differing []int) []guilty {
	soldered, still := departed(in, r, differing)
	best, rest := soldered, still
	for i, trust := range []bool{true, false} {
		if len(rest) == 0 && (len(best) <= len(soldered)+2 || i > 0 && in.Valves > large) {
			break
		}
		all, left := explain(in, r, trust, soldered, still)
		if len(left) < len(rest) || len(left) == len(rest) && len(all) < len(best) {
			best, rest = all, left
		}
	}
	if kept := sound(in, r, best); len(kept) < len(best) {
		best, rest = kept, proof.Differing(in, apply(r, kept))
	}
	return settle(in, r, best, differing, rest)
}

// explain adds to what is suspected what else may be wrong. What it finds it
// cures in memory, and looks again at what still differs, for a mistake may
// hide another.
func explain(in *console.Instrument, r *wiring.Relay, trust bool, all []suspect, left []int) ([]suspect, []int) {
	for range 3 {
		if len(left) == 0 {
			break
		}
		more := look(in, apply(r, all), trust)
		if len(more) == 0 {
			break
		}
		next := carry(r, all, more)
		rest := proof.Differing(in, apply(r, next))
		if len(rest) >= len(left) {
			break
		}
		all, left = next, rest
	}
	return all, left
}

// settle proves what is suspected. What can be left uncured without another
// valve going wrong is no cause, and dropped; what is wrong with everything
// cured but this one is this one's doing.
func settle(in *console.Instrument, r *wiring.Relay, suspects []suspect, differing, left []int) []guilty {
	suspects = enough(in, r, suspects, left)
	shared := map[int]bool{} // valves that no one of them alone has made wrong
	for _, v := range differing {
		shared[v] = !slices.Contains(left, v)
	}
	var all []guilty
	for i := len(suspects) - 1; i >= 0; i-- {
		others := slices.Delete(slices.Clone(suspects), i, i+1)
		claimed := differing
		if len(others) > 0 {
			claimed = proof.Differing(in, apply(r, others))
		}
		claimed = slices.DeleteFunc(slices.Clone(claimed), func(v int) bool { return slices.Contains(left, v) })
		if len(claimed) == 0 {
			suspects = others
			continue
		}
		all = append(all, guilty{suspects[i], claimed})
		for _, v := range claimed {
			delete(shared, v)
		}
	}
	for i, s := range all { // a valve that either of two cures would mend belongs to both
		if !slices.ContainsFunc(differing, func(v int) bool { return shared[v] }) {
			break
		}
		still := proof.Differing(in, apply(r, []suspect{s.suspect}))
		for _, v := range differing {
			if shared[v] && !slices.Contains(still, v) {
				all[i].valves = append(all[i].valves, v)
			}
		}
		slices.Sort(all[i].valves)
	}
	return all
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
	const many = 4 // so few are soon proven one by one
	for n := many; n < len(suspects); n *= 2 {
		if len(proof.Differing(in, apply(r, suspects[:n]))) <= len(left) {
			return suspects[:n]
		}
	}
	return suspects
}
