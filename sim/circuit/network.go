package circuit

import (
	"cmp"
	"slices"
)

// Network is resistors and sources between nodes. Node 0 is the ground that
// voltages count from.
type Network struct {
	Nodes    int
	Branches []Branch
}

// Branch is a resistor between two nodes with a source in series: its current
// from From to To is (V(From) - V(To) + Volts) / Ohms. Ohms are above 0.
type Branch struct {
	From, To    int
	Ohms, Volts float64
}

// add makes a node.
func (n *Network) add() int {
	n.Nodes++
	return n.Nodes - 1
}

func (n *Network) join(from, to int, ohms, volts float64) int {
	n.Branches = append(n.Branches, Branch{from, to, ohms, volts})
	return len(n.Branches) - 1
}

// Solve is the voltage of every node. Nodes that no branch connects to the
// ground have 0.
//
// The nodes are eliminated one after the other, those with the fewest
// neighbours first: most nodes of a relay lie on one wire, so hardly anything
// fills in, and shared returns cost what they are worth. (Gauss's elimination
// of the node equations; every pivot is a sum of conductances.)
func (n *Network) Solve() []float64 {
	e := newElimination(n)
	var order []int
	for e.next() {
		order = append(order, e.at)
		e.eliminate()
	}
	volts := make([]float64, n.Nodes)
	for _, node := range slices.Backward(order) {
		if len(e.near[node]) == 0 {
			continue
		}
		sum := e.current[node]
		for _, to := range e.near[node] {
			sum += to.siemens * volts[to.node]
		}
		volts[node] = sum / e.own[node]
	}
	return volts
}

// Amps is the current of each branch from From to To, by the node voltages.
func (n *Network) Amps(volts []float64) []float64 {
	amps := make([]float64, len(n.Branches))
	for i, b := range n.Branches {
		amps[i] = (volts[b.From] - volts[b.To] + b.Volts) / b.Ohms
	}
	return amps
}

// elimination is a network with some nodes taken out of it.
type elimination struct {
	near    [][]neighbour // by node: what it was connected to, by number; when it is out, only what was left
	degree  []int         // by node: how many of those are left
	own     []float64     // by node: the sum of its conductances
	current []float64     // by node: what sources drive into it
	gone    []bool
	queue   [][]int // by degree: nodes, some of which have another by now
	at      int     // the node whose turn it is
}

type neighbour struct {
	node    int
	siemens float64
}

func newElimination(n *Network) *elimination {
	e := &elimination{near: make([][]neighbour, n.Nodes), degree: make([]int, n.Nodes),
		own: make([]float64, n.Nodes), current: make([]float64, n.Nodes), gone: make([]bool, n.Nodes)}
	for _, b := range n.Branches {
		if b.From == b.To {
			continue
		}
		g := 1 / b.Ohms
		e.near[b.From] = append(e.near[b.From], neighbour{b.To, g})
		e.near[b.To] = append(e.near[b.To], neighbour{b.From, g})
		e.current[b.From] -= g * b.Volts
		e.current[b.To] += g * b.Volts
	}
	for i, near := range e.near {
		e.near[i] = merge(near)
		e.degree[i] = len(e.near[i])
		for _, to := range e.near[i] {
			e.own[i] += to.siemens
		}
		if i > 0 { // the ground stays
			e.list(i)
		}
	}
	return e
}

// merge adds up what leads to one node.
func merge(near []neighbour) []neighbour {
	slices.SortFunc(near, byNode)
	merged := near[:0]
	for _, to := range near {
		if last := len(merged) - 1; last >= 0 && merged[last].node == to.node {
			merged[last].siemens += to.siemens
			continue
		}
		merged = append(merged, to)
	}
	return merged
}

func byNode(a, b neighbour) int { return cmp.Compare(a.node, b.node) }

func (e *elimination) list(node int) {
	for len(e.queue) <= e.degree[node] {
		e.queue = append(e.queue, nil)
	}
	e.queue[e.degree[node]] = append(e.queue[e.degree[node]], node)
}

// next chooses the node with the fewest neighbours.
func (e *elimination) next() bool {
	for degree := range e.queue {
		for len(e.queue[degree]) > 0 {
			last := len(e.queue[degree]) - 1
			node := e.queue[degree][last]
			e.queue[degree] = e.queue[degree][:last]
			if !e.gone[node] && e.degree[node] == degree {
				e.at = node
				return true
			}
		}
	}
	return false
}

// eliminate takes the node out: each pair of its neighbours is connected
// instead, and its current shared among them.
func (e *elimination) eliminate() {
	node := e.at
	e.gone[node] = true
	e.near[node] = slices.DeleteFunc(e.near[node], func(to neighbour) bool { return e.gone[to.node] })
	for _, a := range e.near[node] {
		part := a.siemens / e.own[node]
		e.current[a.node] += part * e.current[node]
		e.own[a.node] -= a.siemens
		e.degree[a.node]--
		for _, b := range e.near[node] {
			if a.node != b.node {
				e.own[a.node] += part * b.siemens
				e.connect(a.node, b.node, part*b.siemens)
			}
		}
		if a.node > 0 {
			e.list(a.node)
		}
	}
}

func (e *elimination) connect(of, node int, siemens float64) {
	at, found := slices.BinarySearchFunc(e.near[of], neighbour{node: node}, byNode)
	if found {
		e.near[of][at].siemens += siemens
		return
	}
	e.near[of] = slices.Insert(e.near[of], at, neighbour{node, siemens})
	e.degree[of]++
}
