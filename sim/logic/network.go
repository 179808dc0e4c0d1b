// Package logic holds boolean networks: nodes that are ORs of terms, over
// variables that are true or false. It simplifies them, gives nodes of one
// form one class, evaluates them, and decides whether two nodes are equal in
// every state, with the smallest state in which they are not.
//
// It knows nothing of keys or pins. An instrument and a relay are put into one
// network over the same variables, and compared there.
package logic

import "slices"

// Node is a node of a network. The variables come first.
type Node int32

// Term is true when all nodes of All are true and none of None is.
type Term struct {
	All, None []Node // sorted, each node once
}

// Network gives every node its terms. A node is true when one of its terms
// is: the least solution, so that nodes in a cycle do not hold each other.
// No node may depend on itself through None; Levels says whether one does.
type Network struct {
	Vars  int      // nodes 0 to Vars-1 are the variables; they have no terms
	terms [][]Term // by node
	room  []Node   // where the terms' nodes are kept, in large pieces
	held  []bool   // nodes that nothing else stands for; nil for none
}

// New is a network of so many variables and no other node.
func New(vars int) *Network {
	return &Network{Vars: vars, terms: make([][]Term, vars)}
}

// Len is the number of nodes, variables included.
func (w *Network) Len() int { return len(w.terms) }

// IsVar reports whether n is a variable.
func (w *Network) IsVar(n Node) bool { return int(n) < w.Vars }

// Terms are the terms of a node, not to be changed.
func (w *Network) Terms(n Node) []Term { return w.terms[n] }

// Add makes a new node, false until it is given terms.
func (w *Network) Add() Node {
	w.terms = append(w.terms, nil)
	return Node(len(w.terms) - 1)
}

// Or gives node n one more term.
func (w *Network) Or(n Node, all, none []Node) {
	w.terms[n] = append(w.terms[n], Term{w.keep(all), w.keep(none)})
}

// keep stores a set of nodes, sorted and each once.
func (w *Network) keep(set []Node) []Node {
	if len(set) == 0 {
		return nil
	}
	if cap(w.room)-len(w.room) < len(set) {
		w.room = make([]Node, 0, max(4096, len(set)))
	}
	start := len(w.room)
	w.room = append(w.room, set...)
	kept := w.room[start:]
	slices.Sort(kept)
	kept = slices.Compact(kept)
	w.room = w.room[:start+len(kept)]
	return kept[:len(kept):len(kept)]
}

// within reports whether the sorted set a lies in the sorted set b.
func within(a, b []Node) bool {
	if len(a) > len(b) {
		return false
	}
	for _, n := range a {
		i, found := slices.BinarySearch(b, n)
		if !found {
			return false
		}
		b = b[i+1:]
	}
	return true
}

// disjoint reports whether two sorted sets have no node in common.
func disjoint(a, b []Node) bool {
	for len(a) > 0 && len(b) > 0 {
		switch {
		case a[0] < b[0]:
			a = a[1:]
		case a[0] > b[0]:
			b = b[1:]
		default:
			return false
		}
	}
	return true
}
