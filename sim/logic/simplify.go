package logic

import (
	"cmp"
	"slices"
)

// Simplify is the same network with the same nodes, each with fewer or
// shorter terms: constants are carried through, a node that is only another
// node is replaced by it, what is passed on without a condition is taken from
// where it comes, and a term that another one covers goes. Two networks that
// say the same thing by another route tend to become the same. A node for
// which held is true keeps its place, as a variable does; a nil held is none.
func (w *Network) Simplify(held []bool) *Network {
	s := &simplifier{old: w, new: New(w.Vars), value: w.constants()}
	s.new.held = held
	s.new.terms = make([][]Term, w.Len())
	for n := Node(w.Vars); int(n) < w.Len(); n++ {
		s.new.terms[n] = s.closed(n)
	}
	for range 8 { // each pass may open the way for another; what is left is still right
		if !s.substitute() {
			break
		}
	}
	return s.new
}

// truth is what is known of a node whatever the variables are.
type truth int8

const (
	varies truth = iota
	never
	always
)

// constants finds nodes that are the same in every state: those that nothing
// supports, and those that hold without any variable.
func (w *Network) constants() []truth {
	value := make([]truth, w.Len())
	_, order := w.groups()
	for changed := true; changed; {
		changed = false
		possible := w.least(order, true, func(n Node) bool { return value[n] == always })
		certain := w.least(order, false, func(n Node) bool { return value[n] != never })
		for n := Node(w.Vars); int(n) < w.Len(); n++ {
			if value[n] != varies {
				continue
			}
			if !possible[n] {
				value[n], changed = never, true
			} else if certain[n] {
				value[n], changed = always, true
			}
		}
	}
	return value
}

// least is the least solution in which all variables are as given and a term
// fails when one of its None is blocked. order is that of groups.
func (w *Network) least(order [][]Node, variables bool, blocked func(Node) bool) []bool {
	value := make([]bool, w.Len())
	for n := range Node(w.Vars) {
		value[n] = variables
	}
	holds := func(t Term) bool {
		return !slices.ContainsFunc(t.None, blocked) && !slices.ContainsFunc(t.All, func(m Node) bool { return !value[m] })
	}
	for _, group := range order {
		for changed := true; changed; {
			changed = false
			for _, n := range group {
				if !value[n] && slices.ContainsFunc(w.terms[n], holds) {
					value[n], changed = true, len(group) > 1
				}
			}
		}
	}
	return value
}

type simplifier struct {
	old, new *Network
	value    []truth
	all      []Node // scratch
	none     []Node
}

// clean is a term without constants; false when it can never hold.
func (s *simplifier) clean(t Term) (Term, bool) {
	s.all, s.none = s.all[:0], s.none[:0]
	for _, n := range t.All {
		switch s.value[n] {
		case never:
			return Term{}, false
		case varies:
			s.all = append(s.all, n)
		}
	}
	for _, n := range t.None {
		switch s.value[n] {
		case always:
			return Term{}, false
		case varies:
			s.none = append(s.none, n)
		}
	}
	if !disjoint(s.all, s.none) {
		return Term{}, false
	}
	if len(s.all) == len(t.All) && len(s.none) == len(t.None) {
		return t, true
	}
	return Term{s.new.keep(s.all), s.new.keep(s.none)}, true
}

// closed are the terms of n and of every node that is passed on to it without
// a condition, straight or through others.
func (s *simplifier) closed(n Node) []Term {
	if s.value[n] == never {
		return nil
	}
	if s.value[n] == always {
		return []Term{{}}
	}
	var terms []Term
	seen := []Node{n}
	for i := 0; i < len(seen); i++ {
		for _, t := range s.old.terms[seen[i]] {
			t, ok := s.clean(t)
			if !ok || slices.Contains(t.All, n) { // n cannot help to hold itself
				continue
			}
			if len(t.All) == 1 && len(t.None) == 0 && !s.new.fixed(t.All[0]) {
				if !slices.Contains(seen, t.All[0]) {
					seen = append(seen, t.All[0])
				}
				continue
			}
			terms = append(terms, t)
		}
	}
	return irredundant(terms)
}

// substitute puts single terms where the nodes that have them stand, and
// reports whether anything changed.
func (s *simplifier) substitute() bool {
	changed := false
	for n := Node(s.new.Vars); int(n) < s.new.Len(); n++ {
		terms := s.new.terms[n]
		touched := false
		for _, t := range terms {
			touched = touched || len(terms) > 1 && s.passed(t) || slices.ContainsFunc(t.All, s.single) || slices.ContainsFunc(t.None, func(m Node) bool {
				_, _, ok := s.absent(m, t)
				return ok
			})
		}
		if !touched {
			continue
		}
		changed = true
		fresh := make([]Term, 0, len(terms))
		for _, t := range terms {
			if len(terms) > 1 && s.passed(t) {
				for _, from := range s.new.terms[t.All[0]] {
					if !slices.Contains(from.All, n) { // n cannot help to hold itself
						fresh = append(fresh, from)
					}
				}
			} else if t, ok := s.expand(t); ok {
				fresh = append(fresh, t)
			}
		}
		s.new.terms[n] = irredundant(fresh)
	}
	return changed
}

// passed reports whether a term is only a node that is passed on.
func (s *simplifier) passed(t Term) bool {
	return len(t.All) == 1 && len(t.None) == 0 && !s.new.fixed(t.All[0])
}

// single reports whether n has just one term, which can stand for it.
func (s *simplifier) single(n Node) bool {
	return !s.new.fixed(n) && len(s.new.terms[n]) <= 1
}

// absent is what it takes for n to be false in a term that holds already: the
// nodes that must be false, and those that must be true. It cannot be said so
// when some term of n leaves more than one node open.
func (s *simplifier) absent(n Node, in Term) (none, all []Node, ok bool) {
	if s.new.fixed(n) {
		return nil, nil, false
	}
	for _, c := range s.new.terms[n] {
		if !disjoint(c.All, in.None) || !disjoint(c.None, in.All) {
			continue // false here anyway
		}
		open := 0
		for _, m := range c.All {
			if _, given := slices.BinarySearch(in.All, m); !given {
				none, open = append(none, m), open+1
			}
		}
		for _, m := range c.None {
			if _, given := slices.BinarySearch(in.None, m); !given {
				all, open = append(all, m), open+1
			}
		}
		if open != 1 {
			return nil, nil, false
		}
	}
	return none, all, true
}

// expand is t with single nodes, and nodes that are absent, replaced by what
// they stand for; false when it can then never hold.
func (s *simplifier) expand(t Term) (Term, bool) {
	var all, none []Node
	for _, n := range t.All {
		if !s.single(n) {
			all = append(all, n)
			continue
		}
		if len(s.new.terms[n]) == 0 {
			return Term{}, false
		}
		all = append(all, s.new.terms[n][0].All...)
		none = append(none, s.new.terms[n][0].None...)
	}
	for _, n := range t.None {
		if off, on, ok := s.absent(n, t); ok {
			none, all = append(none, off...), append(all, on...)
		} else {
			none = append(none, n)
		}
	}
	fresh := Term{s.new.keep(all), s.new.keep(none)}
	return fresh, disjoint(fresh.All, fresh.None)
}

// irredundant is the terms in order, without those that another covers.
func irredundant(terms []Term) []Term {
	if len(terms) < 2 {
		return terms
	}
	slices.SortFunc(terms, func(a, b Term) int {
		return cmp.Or(cmp.Compare(len(a.All)+len(a.None), len(b.All)+len(b.None)),
			slices.Compare(a.All, b.All), slices.Compare(a.None, b.None))
	})
	terms = slices.CompactFunc(terms, func(a, b Term) bool {
		return slices.Equal(a.All, b.All) && slices.Equal(a.None, b.None)
	})
	const many = 64 // beyond this many terms only equal ones are dropped
	if len(terms) > many {
		return terms
	}
	terms = resolved(terms)
	kept := terms[:0]
	for _, t := range terms {
		if !slices.ContainsFunc(kept, func(k Term) bool { return within(k.All, t.All) && within(k.None, t.None) }) {
			kept = append(kept, t)
		}
	}
	return kept
}

// resolved merges terms that are equal but for one node, of which one asks the
// presence and the other the absence: it does not matter.
func resolved(terms []Term) []Term {
	for i := 0; i < len(terms); i++ {
		for j := range terms {
			if merged, ok := resolve(terms[i], terms[j]); ok {
				terms[min(i, j)] = merged
				terms = slices.Delete(terms, max(i, j), max(i, j)+1)
				i = -1 // what has been merged may merge further
				break
			}
		}
	}
	return terms
}

func resolve(t, u Term) (Term, bool) {
	if len(t.All) != len(u.All)+1 || len(u.None) != len(t.None)+1 || !within(u.All, t.All) || !within(t.None, u.None) {
		return Term{}, false
	}
	for _, n := range t.All {
		if _, other := slices.BinarySearch(u.All, n); !other {
			_, opposite := slices.BinarySearch(u.None, n)
			return Term{u.All, t.None}, opposite
		}
	}
	return Term{}, false
}
