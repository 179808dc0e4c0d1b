package logic

import (
	"encoding/binary"
	"slices"
)

// Classes numbers the nodes so that nodes of one class are equal in every
// state. Unequal numbers prove nothing: equal functions may differ in form.
//
// A variable v counts as the variable as[v]; a nil as leaves all as they are.
//
// All nodes but the variables start in one class, and classes are split until
// nodes of one class have terms over the same classes. Cycles need no
// unrolling: whatever derives a node in a finite number of steps derives every
// node of its class in as many, level by level of None.
func (w *Network) Classes(as []Node) []int32 {
	class := make([]int32, w.Len())
	named := make([]bool, w.Len()) // nodes that some term names; the others need no refining
	for n := range class {
		class[n] = int32(min(n, w.Vars))
		if n < len(as) {
			class[n] = int32(as[n])
		}
		for _, t := range w.terms[n] {
			for _, m := range t.All {
				named[m] = true
			}
			for _, m := range t.None {
				named[m] = true
			}
		}
	}
	var core, rest []Node
	for n := Node(w.Vars); int(n) < w.Len(); n++ {
		if named[n] {
			core = append(core, n)
		} else {
			rest = append(rest, n)
		}
	}
	next := slices.Clone(class)
	for count := 0; ; {
		forms := newForms(w)
		for _, n := range core {
			next[n] = forms.class(n, class)
		}
		copy(class, next)
		if len(forms.nodes) == count {
			for _, n := range rest {
				next[n] = forms.class(n, class)
			}
			return next
		}
		count = len(forms.nodes)
	}
}

// forms numbers terms and nodes by what they say about classes.
type forms struct {
	w     *Network
	terms map[string]int32
	nodes map[string]int32
	key   []byte
	set   []int32
	ids   []int32
}

func newForms(w *Network) *forms {
	return &forms{w: w, terms: map[string]int32{}, nodes: map[string]int32{}}
}

// class is the number of n's form, beyond those of the variables. A node that
// is only another one has that one's class.
func (f *forms) class(n Node, class []int32) int32 {
	if n = f.w.Is(n); f.w.IsVar(n) {
		return class[n]
	}
	terms := f.w.terms[n]
	f.ids = f.ids[:0]
	for _, t := range terms {
		f.key = f.key[:0]
		f.add(t.All, class)
		f.key = append(f.key, 0xff, 0xff, 0xff, 0xff)
		f.add(t.None, class)
		f.ids = append(f.ids, number(f.terms, f.key))
	}
	f.key = f.key[:0]
	f.addSet(f.ids)
	return int32(f.w.Vars) + number(f.nodes, f.key)
}

// fixed reports whether a node stands for itself: a variable, or one held.
func (w *Network) fixed(n Node) bool { return w.IsVar(n) || w.held != nil && w.held[n] }

// Is follows a node that is only another one to that one; in a ring of such
// nodes, none of which can ever be true, to some node of it.
func (w *Network) Is(n Node) Node {
	for range w.Len() {
		if w.fixed(n) {
			break
		}
		terms := w.terms[n]
		if len(terms) != 1 || len(terms[0].All) != 1 || len(terms[0].None) != 0 {
			break
		}
		n = terms[0].All[0]
	}
	return n
}

// add writes the set of the nodes' classes to the key.
func (f *forms) add(nodes []Node, class []int32) {
	f.set = f.set[:0]
	for _, n := range nodes {
		f.set = append(f.set, class[f.w.Is(n)])
	}
	f.addSet(f.set)
}

func (f *forms) addSet(set []int32) {
	slices.Sort(set)
	for _, v := range slices.Compact(set) {
		f.key = binary.LittleEndian.AppendUint32(f.key, uint32(v))
	}
}

// number gives each key a number of its own, from 0 in the order of first use.
func number(of map[string]int32, key []byte) int32 {
	n, known := of[string(key)]
	if !known {
		n = int32(len(of))
		of[string(key)] = n
	}
	return n
}
