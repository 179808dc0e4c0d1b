package equation

import (
	"cmp"
	"slices"

	"trundle/console"
	"trundle/sim/logic"
	"trundle/sim/wiring"
)

// Relay puts a relay with the wiring as soldered into a network: lines,
// labels and what its outputs drive, as its rows say.
type Relay struct {
	*wiring.Relay
	Nets   *wiring.Netlist
	Lines  map[string]*Notes
	Labels map[string]logic.Node
	Driven []logic.Node // by net: whether an output pin of it is driven; Nothing when no row drives one

	w    *logic.Network
	pin  func(wiring.Terminal) logic.Node
	from map[logic.Node][]Origin
}

// Origin is the place of a row's run from which a term of a node came.
type Origin struct{ Row, At int }

// AddRelay adds the nodes of a relay. pin gives the node of an input pin.
func AddRelay(w *logic.Network, r *wiring.Relay, pin func(wiring.Terminal) logic.Node) *Relay {
	a := &Relay{
		Relay: r, Nets: wiring.Nets(r), Lines: map[string]*Notes{}, Labels: map[string]logic.Node{},
		w: w, pin: pin, from: map[logic.Node][]Origin{},
	}
	a.Driven = slices.Repeat([]logic.Node{Nothing}, a.Nets.Len())
	for _, t := range r.Stuck {
		if net := a.Nets.Of(t); net >= 0 {
			a.Driven[net] = w.Add()
			w.Or(a.Driven[net], nil, nil)
		}
	}
	for i, row := range r.Switch { // labels first: whether one is ever read matters to every other row
		if row.Kind == wiring.Read && row.Line == "" {
			a.readLabel(i, row)
		}
	}
	for i, row := range r.Switch {
		switch {
		case row.Kind == wiring.Read && row.Line != "":
			a.readLine(i, row)
		case row.Kind == wiring.Couple:
			a.couple(i, row)
		case row.Kind == wiring.Drive:
			a.drive(i, row)
		}
	}
	return a
}

// Origins are where the terms of a line's note, a label or a driven net came
// from, in the order of the node's terms.
func (a *Relay) Origins(n logic.Node) []Origin { return a.from[n] }

// line is the node of one note of a line, made when it is first named.
func (a *Relay) line(name string, n console.Note) logic.Node {
	line := a.Lines[name]
	if line == nil {
		none := noNotes()
		line = &none
		a.Lines[name] = line
	}
	if line[n] == Nothing {
		line[n] = a.w.Add()
	}
	return line[n]
}

func (a *Relay) or(n logic.Node, all, none []logic.Node, row, at int) {
	a.w.Or(n, all, none)
	a.from[n] = append(a.from[n], Origin{row, at})
}

func (a *Relay) readLabel(i int, row wiring.Switch) {
	for _, l := range row.Control {
		node, known := a.Labels[l.Label]
		if !known {
			node = a.w.Add()
			a.Labels[l.Label] = node
		}
		for at, t := range row.Pins {
			a.or(node, []logic.Node{a.pin(t)}, nil, i, at)
		}
	}
}

func (a *Relay) readLine(i int, row wiring.Switch) {
	for at := range row.Len() {
		a.or(a.line(row.Line, row.Notes[at]), []logic.Node{a.pin(row.Pins[at])}, nil, i, at)
	}
}

// holds is what a row's control asks for; false when it can never hold,
// because a label of it is never read.
func (a *Relay) holds(control []wiring.Literal) (all, none []logic.Node, possible bool) {
	for _, l := range control {
		node, read := a.Labels[l.Label]
		switch {
		case l.Not && read:
			none = append(none, node)
		case !l.Not && read:
			all = append(all, node)
		case !l.Not:
			return nil, nil, false
		}
	}
	return all, none, true
}

// couple passes notes of one line to another. A row that picks passes a note
// only while none that comes before it in its own row is on the line.
func (a *Relay) couple(i int, row wiring.Switch) {
	all, none, possible := a.holds(row.Control)
	if !possible {
		return
	}
	order := make([]int, row.Len())
	for at := range order {
		order[at] = at
	}
	switch row.Picks {
	case console.PicksLowest:
		slices.SortStableFunc(order, func(x, y int) int { return cmp.Compare(row.Notes[x], row.Notes[y]) })
	case console.PicksHighest:
		slices.SortStableFunc(order, func(x, y int) int { return cmp.Compare(row.Notes[y], row.Notes[x]) })
	}
	var before []logic.Node
	for place, at := range order {
		from := a.line(row.Line, row.Notes[at])
		a.or(a.line(row.To, row.ToNotes[at]), with(all, from), with(none, before...), i, at)
		last := place+1 == len(order) || row.Notes[order[place+1]] != row.Notes[at] // a note that leads to two places is picked for both
		if row.Picks != console.PicksAll && last {
			before = append(before, from)
		}
	}
}

func (a *Relay) drive(i int, row wiring.Switch) {
	all, none, possible := a.holds(row.Control)
	if !possible {
		return
	}
	for at := range row.Len() {
		net := a.Nets.DrivenBy(row.Pins[at])
		if net < 0 {
			continue
		}
		if a.Driven[net] == Nothing {
			a.Driven[net] = a.w.Add()
		}
		if row.Line == "" {
			a.or(a.Driven[net], all, none, i, at)
		} else {
			a.or(a.Driven[net], with(all, a.line(row.Line, row.Notes[at])), none, i, at)
		}
	}
}

// with is the nodes of two lists; the first is left as it is.
func with(nodes []logic.Node, more ...logic.Node) []logic.Node { return slices.Concat(nodes, more) }
