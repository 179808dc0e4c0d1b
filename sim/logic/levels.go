package logic

// Levels gives every node the number of times that None must be passed below
// it, at most. A node that depends on itself through None has no meaning; it
// is returned in loop, and then levels is nil.
func (w *Network) Levels() (levels []int32, loop []Node) {
	group, order := w.groups()
	levels = make([]int32, w.Len())
	for _, members := range order { // what a group depends on comes before it
		level := int32(0)
		for _, n := range members {
			for _, t := range w.terms[n] {
				for _, m := range t.All {
					level = max(level, levels[m])
				}
				for _, m := range t.None {
					if group[m] == group[n] {
						return nil, members
					}
					level = max(level, levels[m]+1)
				}
			}
		}
		for _, n := range members {
			levels[n] = level
		}
	}
	return levels, nil
}

// groups are the strongly connected components of the network (Tarjan 1972),
// those that others depend on first, and the number of each node's group.
func (w *Network) groups() (group []int32, order [][]Node) {
	n := w.Len()
	g := &grouping{w: w, group: make([]int32, n), index: make([]int32, n), low: make([]int32, n), members: make([]Node, 0, n)}
	for i := range g.index {
		g.index[i], g.group[i] = unseen, unseen
	}
	for root := range Node(n) {
		if g.index[root] == unseen {
			g.visit(root)
		}
	}
	return g.group, g.order
}

const unseen = -1

// grouping is the state of the search, with a stack of its own instead of
// calls: a chain of nodes may be as long as the network.
type grouping struct {
	w          *Network
	group      []int32
	index, low []int32
	count      int32
	open       []Node  // seen, and in no group yet
	frames     []frame // the way from the root to the node looked at
	members    []Node  // of all groups so far, each behind the other
	order      [][]Node
}

// frame is a node on the way, and what is left to look at of what it depends on.
type frame struct {
	node    Node
	sources []Node // those not looked at yet of its term
	none    bool   // they are the term's None
	term    int
}

// next is the next node that the frame's node depends on.
func (f *frame) next(terms []Term) (source Node, any bool) {
	for len(f.sources) == 0 && f.term < len(terms) {
		if f.none {
			f.term++
		}
		f.none = !f.none
		if f.term < len(terms) {
			f.sources = terms[f.term].half(f.none)
		}
	}
	if len(f.sources) == 0 {
		return 0, false
	}
	source, f.sources = f.sources[0], f.sources[1:]
	return source, true
}

// visit groups what can be reached from a node.
func (g *grouping) visit(root Node) {
	g.enter(root)
	for len(g.frames) > 0 {
		f := &g.frames[len(g.frames)-1]
		source, any := f.next(g.w.terms[f.node])
		switch {
		case !any:
			g.leave(f.node)
		case g.index[source] == unseen:
			g.enter(source)
		case g.group[source] == unseen:
			g.low[f.node] = min(g.low[f.node], g.index[source])
		}
	}
}

func (g *grouping) enter(n Node) {
	g.index[n], g.low[n] = g.count, g.count
	g.count++
	g.open = append(g.open, n)
	g.frames = append(g.frames, frame{node: n, none: true, term: -1})
}

// leave goes back from a node of which all has been looked at. Where it is the
// first seen of its group, all of that is open from it on.
func (g *grouping) leave(n Node) {
	g.frames = g.frames[:len(g.frames)-1]
	if len(g.frames) > 0 {
		above := g.frames[len(g.frames)-1].node
		g.low[above] = min(g.low[above], g.low[n])
	}
	if g.low[n] != g.index[n] {
		return
	}
	at := len(g.open) - 1
	for g.open[at] != n {
		at--
	}
	start := len(g.members)
	g.members = append(g.members, g.open[at:]...)
	g.open = g.open[:at]
	group := g.members[start:len(g.members):len(g.members)]
	for _, m := range group {
		g.group[m] = int32(len(g.order))
	}
	g.order = append(g.order, group)
}

// half is one of the two sets of a term.
func (t Term) half(none bool) []Node {
	if none {
		return t.None
	}
	return t.All
}
