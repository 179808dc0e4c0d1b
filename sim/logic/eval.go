package logic

// Evaluator finds which nodes are true in a state, at a cost that grows with
// what the state makes true and not with the network.
type Evaluator struct {
	w      *Network
	levels []int32
	head   []Node    // node of each term, terms numbered through the network
	all    []int32   // number of All of each term
	first  []int32   // first term number of each node
	uses   [][]int32 // terms that have the node in All
	bare   []int32   // terms without All
	value  []bool
	met    []int32   // All met, by term
	holds  []Node    // true nodes of the last state, in the order they became so
	at     []int32   // by node, its place in holds
	touch  []int32   // terms with met > 0
	queue  [][]int32 // terms whose All is met, by level of their head
}

// NewEvaluator prepares a network; levels are those of w.Levels.
func NewEvaluator(w *Network, levels []int32) *Evaluator {
	e := &Evaluator{w: w, levels: levels, value: make([]bool, w.Len()), at: make([]int32, w.Len()), first: make([]int32, w.Len()), uses: make([][]int32, w.Len())}
	count, uses := 0, make([]int32, w.Len())
	for _, terms := range w.terms {
		count += len(terms)
		for _, t := range terms {
			for _, m := range t.All {
				uses[m]++
			}
		}
	}
	total, top := int32(0), int32(0)
	for n, u := range uses {
		total += u
		top = max(top, levels[n])
	}
	room := make([]int32, 0, total)
	for n, u := range uses {
		e.uses[n] = room[len(room) : len(room) : len(room)+int(u)]
		room = room[:len(room)+int(u)]
	}
	e.head, e.all, e.met = make([]Node, 0, count), make([]int32, 0, count), make([]int32, count)
	for n, terms := range w.terms {
		e.first[n] = int32(len(e.head))
		for _, t := range terms {
			id := int32(len(e.head))
			e.head, e.all = append(e.head, Node(n)), append(e.all, int32(len(t.All)))
			for _, m := range t.All {
				e.uses[m] = append(e.uses[m], id)
			}
			if len(t.All) == 0 {
				e.bare = append(e.bare, id)
			}
		}
	}
	e.queue = make([][]int32, top+1)
	return e
}

// Set makes the given variables true and all others false.
func (e *Evaluator) Set(vars []Node) {
	for _, n := range e.holds {
		e.value[n] = false
	}
	for _, t := range e.touch {
		e.met[t] = 0
	}
	e.holds, e.touch = e.holds[:0], e.touch[:0]
	for _, t := range e.bare {
		e.ready(t)
	}
	for _, n := range vars {
		e.hold(n)
	}
	for level := range e.queue {
		for len(e.queue[level]) > 0 { // hold may add to this level and to later ones
			last := len(e.queue[level]) - 1
			t := e.queue[level][last]
			e.queue[level] = e.queue[level][:last]
			if n := e.head[t]; !e.value[n] && e.clear(e.term(t)) {
				e.hold(n)
			}
		}
	}
}

// Value is whether a node is true in the state last set.
func (e *Evaluator) Value(n Node) bool { return e.value[n] }

func (e *Evaluator) term(t int32) Term {
	n := e.head[t]
	return e.w.terms[n][t-e.first[n]]
}

func (e *Evaluator) ready(t int32) {
	level := e.levels[e.head[t]]
	e.queue[level] = append(e.queue[level], t)
}

// hold makes n true and finds the terms that this completes.
func (e *Evaluator) hold(n Node) {
	if e.value[n] {
		return
	}
	e.value[n] = true
	e.at[n] = int32(len(e.holds))
	e.holds = append(e.holds, n)
	for _, t := range e.uses[n] {
		if e.met[t] == 0 {
			e.touch = append(e.touch, t)
		}
		e.met[t]++
		if e.met[t] == e.all[t] {
			e.ready(t)
		}
	}
}

// clear reports whether no None of the term is true.
func (e *Evaluator) clear(t Term) bool {
	for _, m := range t.None {
		if e.value[m] {
			return false
		}
	}
	return true
}

// depends lists what keeps n true in the state last set by being false: the
// None of one term of n that holds, and of one term of each node of its All,
// and so on down. While the variables that are true stay so, n can only become
// false if one of these becomes true.
func (e *Evaluator) depends(n Node) []Node {
	var none []Node
	seen := map[Node]bool{n: true}
	open := []Node{n}
	for len(open) > 0 {
		n := open[len(open)-1]
		open = open[:len(open)-1]
		t, _ := e.reason(n)
		none = append(none, t.None...)
		for _, m := range t.All {
			if !seen[m] {
				seen[m] = true
				open = append(open, m)
			}
		}
	}
	return none
}

// reason is a term that makes n true in the state last set, over nodes that
// were true before it; a variable has none.
func (e *Evaluator) reason(n Node) (Term, bool) {
	for _, t := range e.w.terms[n] {
		holds := e.clear(t)
		for _, m := range t.All {
			holds = holds && e.value[m] && e.at[m] < e.at[n]
		}
		if holds {
			return t, true
		}
	}
	return Term{}, false
}
