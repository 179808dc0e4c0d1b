package logic

import (
	"container/heap"
	"slices"
)

// Verdict is the answer to whether two nodes are equal in every state.
type Verdict int

const (
	Equal Verdict = iota
	Different
	Undecided // the search was given up
)

// Decider decides whether nodes of one network are equal in every state.
type Decider struct {
	w       *Network
	class   []int32
	eval    *Evaluator
	minor   int      // the first so many variables count before the others
	Tries   int      // steps one search may take
	Budget  int      // nodes that all searches together may still look through
	Replays int      // states like those found before that all searches together may still look at
	near    [][]Node // states in which other nodes differ, the last one first
	found   []Node
	partial bool // something was left untried
}

// NewDecider prepares a simplified network. Of two states with equally many
// true variables the one with fewer among the first minor is the smaller one,
// and then the one whose first different variable comes first.
func NewDecider(w *Network, class []int32, eval *Evaluator, minor int) *Decider {
	return &Decider{w: w, class: class, eval: eval, minor: minor, Tries: 20_000, Budget: 8_000_000, Replays: 20_000}
}

// Compare orders states, each a sorted list of true variables, smallest first.
func (d *Decider) Compare(a, b []Node) int {
	if len(a) != len(b) {
		return len(a) - len(b)
	}
	if x, y := d.minors(a), d.minors(b); x != y {
		return x - y
	}
	return slices.Compare(a, b)
}

func (d *Decider) minors(state []Node) int {
	i, _ := slices.BinarySearch(state, Node(d.minor))
	return i
}

// Differ finds the smallest state in which f and g differ, as the sorted list
// of its true variables. Where it has more than most true variables, any such
// state will do.
func (d *Decider) Differ(f, g Node, most int) ([]Node, Verdict) {
	if d.class[f] == d.class[g] {
		return nil, Equal
	}
	d.found, d.partial = nil, false
	d.search(f, g, most)
	d.search(g, f, most)
	switch {
	case d.found != nil:
		const some = 3
		d.near = append([][]Node{d.found}, d.near[:min(len(d.near), some-1)]...)
		return d.found, Different
	case d.partial:
		return nil, Undecided
	}
	return nil, Equal
}

// search looks for states smaller than d.found in which f holds and g does
// not; where d.found has more than most true variables, only for those that
// have no more. It derives f in every way, smallest first, and makes g fail by what
// would have to be true for that.
func (d *Decider) search(f, g Node, most int) {
	open := tries{d.first(f, g)}
	if d.implied(open[0]) {
		return
	}
	for steps := 0; len(open) > 0; steps++ {
		if steps == d.Tries || d.Budget <= 0 {
			d.partial = true
			return
		}
		t := heap.Pop(&open).(*try)
		if d.found != nil && (len(t.on) > min(len(d.found), most) || len(t.on) == len(d.found) && t.minors > d.minors(d.found)) {
			return
		}
		for _, next := range d.step(t, f, g) {
			if !d.implied(next) {
				next.minors = d.minors(next.on)
				next.order = steps
				heap.Push(&open, next)
			}
		}
	}
}

// step is what can follow from a try; a state that answers is kept in found.
func (d *Decider) step(t *try, f, g Node) []*try {
	if len(t.need) > 0 {
		return d.derive(t)
	}
	if d.found == nil {
		d.replay(t.on, f, g)
	}
	d.eval.Set(t.on)
	for _, n := range t.never {
		if d.eval.Value(n) {
			return d.upset(t, n)
		}
	}
	switch {
	case !d.eval.Value(f): // a ring of nodes that would hold each other
		return nil
	case d.eval.Value(g):
		return d.upset(t, g)
	}
	if d.found == nil || d.Compare(t.on, d.found) < 0 {
		d.found = slices.Clone(t.on)
		if len(t.on) == 0 {
			d.found = []Node{}
		}
	}
	return nil
}

// replay looks whether f and g differ where the variables of a try are true
// together with those of a state in which others did, or all but one of them:
// what one mistake has done to one note it has done to the next.
func (d *Decider) replay(on []Node, f, g Node) {
	for _, state := range d.near {
		for i := range len(state) + 1 {
			if d.Replays <= 0 {
				return
			}
			d.Replays--
			like := slices.Concat(on, state[:i], state[min(i+1, len(state)):])
			slices.Sort(like)
			like = slices.Compact(like)
			if d.eval.Set(like); d.eval.Value(f) != d.eval.Value(g) {
				d.found = like
				return
			}
		}
	}
}

// derive tries every term of the node that is needed next.
func (d *Decider) derive(t *try) []*try {
	n := t.need[len(t.need)-1]
	var all []*try
	for _, term := range d.w.terms[n] {
		next := t.copy()
		next.need = next.need[:len(next.need)-1]
		if d.require(next, term.All) && d.forbid(next, term.None) {
			all = append(all, next)
		}
	}
	return all
}

// upset tries everything that would make n false, which is true now.
func (d *Decider) upset(t *try, n Node) []*try {
	var all []*try
	for _, m := range d.eval.depends(n) {
		if slices.Contains(t.must, m) { // must hold already, and does not yet: another branch settles it or none does
			d.partial = true
			continue
		}
		next := t.copy()
		if d.require(next, []Node{m}) {
			all = append(all, next)
		}
	}
	return all
}

// require makes nodes true in a try, or reports that they cannot be.
func (d *Decider) require(t *try, nodes []Node) bool {
	for _, n := range nodes {
		switch {
		case d.w.IsVar(n):
			if slices.Contains(t.off, n) {
				return false
			}
			if i, found := slices.BinarySearch(t.on, n); !found {
				t.on = slices.Insert(t.on, i, n)
			}
		case slices.Contains(t.never, n):
			return false
		case !slices.Contains(t.must, n):
			t.must, t.need = append(t.must, n), append(t.need, n)
		}
	}
	return true
}

// forbid makes nodes false in a try, or reports that they cannot be.
func (d *Decider) forbid(t *try, nodes []Node) bool {
	for _, n := range nodes {
		switch {
		case d.w.IsVar(n):
			if _, found := slices.BinarySearch(t.on, n); found {
				return false
			}
			if !slices.Contains(t.off, n) {
				t.off = append(t.off, n)
			}
		case slices.Contains(t.must, n):
			return false
		case !slices.Contains(t.never, n):
			t.never = append(t.never, n)
		}
	}
	return true
}

// implied reports whether every state that completes the try makes g true, as
// far as can be seen. On the way it notes nodes that would make g true, and
// variables that therefore have to be false.
func (d *Decider) implied(t *try) bool {
	for i := 0; i < len(t.mirror); i++ {
		d.Budget--
		m := t.mirror[i]
		if d.given(t, m) {
			return true
		}
		for _, term := range d.w.terms[m] {
			if !d.denied(t, term.None) {
				continue
			}
			missing, count := Node(0), 0
			for _, n := range term.All {
				if !d.given(t, n) {
					missing, count = n, count+1
				}
			}
			switch {
			case count == 0:
				return true
			case count > 1:
			case d.w.IsVar(missing):
				if !slices.Contains(t.off, missing) {
					t.off = append(t.off, missing)
				}
			case !slices.Contains(t.mirror, missing):
				t.mirror = append(t.mirror, missing)
			}
		}
	}
	return false
}

// given reports whether n is true in every state that completes the try: a
// node that must be, or one of its class.
func (d *Decider) given(t *try, n Node) bool {
	if d.w.IsVar(n) {
		_, found := slices.BinarySearch(t.on, n)
		return found
	}
	return d.hasClass(t.must, n)
}

// denied reports whether all nodes are false in every state that completes
// the try.
func (d *Decider) denied(t *try, nodes []Node) bool {
	for _, n := range nodes {
		if d.w.IsVar(n) && !slices.Contains(t.off, n) || !d.w.IsVar(n) && !d.hasClass(t.never, n) {
			return false
		}
	}
	return true
}

func (d *Decider) hasClass(nodes []Node, n Node) bool {
	return slices.ContainsFunc(nodes, func(m Node) bool { return d.class[m] == d.class[n] })
}
