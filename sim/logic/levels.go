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
	const unseen = -1
	n := w.Len()
	group = make([]int32, n)
	index, low := make([]int32, n), make([]int32, n)
	for i := range index {
		index[i], group[i] = unseen, unseen
	}
	type frame struct {
		node    Node
		sources []Node // those not looked at yet of its term
		none    bool   // they are the term's None
		term    int
	}
	var (
		count   int32
		open    []Node
		frames  []frame
		members = make([]Node, 0, n)
	)
	for root := range Node(n) {
		if index[root] != unseen {
			continue
		}
		frames = append(frames[:0], frame{node: root, none: true, term: -1})
		for len(frames) > 0 {
			f := &frames[len(frames)-1]
			v := f.node
			if index[v] == unseen {
				index[v], low[v] = count, count
				count++
				open = append(open, v)
			}
			for len(f.sources) == 0 && f.term < len(w.terms[v]) {
				if f.none {
					f.term++
				}
				f.none = !f.none
				if f.term < len(w.terms[v]) {
					f.sources = w.terms[v][f.term].half(f.none)
				}
			}
			switch {
			case len(f.sources) > 0:
				source := f.sources[0]
				f.sources = f.sources[1:]
				if index[source] == unseen {
					frames = append(frames, frame{node: source, none: true, term: -1})
				} else if group[source] == unseen {
					low[v] = min(low[v], index[source])
				}
			default:
				frames = frames[:len(frames)-1]
				if len(frames) > 0 {
					above := frames[len(frames)-1].node
					low[above] = min(low[above], low[v])
				}
				if low[v] == index[v] {
					at := len(open) - 1
					for open[at] != v {
						at--
					}
					start := len(members)
					members = append(members, open[at:]...)
					open = open[:at]
					for _, m := range members[start:] {
						group[m] = int32(len(order))
					}
					order = append(order, members[start:len(members):len(members)])
				}
			}
		}
	}
	return group, order
}

// half is one of the two sets of a term.
func (t Term) half(none bool) []Node {
	if none {
		return t.None
	}
	return t.All
}
