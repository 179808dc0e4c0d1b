package certificate

import (
	"cmp"
	"errors"
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// bench is a relay being put into a circuit, with the wiring as soldered. It
// follows the relay's definition step by step: pins, labels, lines, drives,
// and what hangs on driven pins.
type bench struct {
	*wiring.Relay
	*circuit
	inputs
	in     *console.Instrument
	nets   *wiring.Netlist
	pins   map[int]lit // by net: whether a contact wired to it is made
	labels map[string]lit
	points map[point]int // nodes of the equations of the lines
	lines  []lit         // by node
	driven map[int]lit   // by net: whether an output pin of it is driven
}

// point is one note of a line.
type point struct {
	line string
	note console.Note
}

// errOwnOutcome is the error of a relay whose definition leaves open what it does.
var errOwnOutcome = errors.New("a row that picks depends on its own outcome, so nothing can be said of the relay; mend the switching first")

// open is a literal for every valve: the relay opens it.
func (b *bench) open() ([]lit, error) {
	b.readPins()
	b.readLabels()
	if err := b.readLines(); err != nil {
		return nil, err
	}
	b.drive()
	return b.valves(b.items()), nil
}

// readPins is step one: a pin is on while any contact on its net is made.
func (b *bench) readPins() {
	b.pins = map[int]lit{}
	for net := range b.nets.Len() {
		var made []lit
		for _, h := range b.nets.Hung(net) {
			switch item := b.nets.Item(h); item.Kind {
			case wiring.KeyKind:
				made = append(made, b.first[item.Index].of(console.Note(item.Note)))
			case wiring.Key2Kind:
				made = append(made, b.second[item.Index].of(console.Note(item.Note)))
			case wiring.ControlKind:
				made = append(made, b.controls[item.Index])
			}
		}
		if len(made) > 0 {
			b.pins[net] = b.or(made...)
		}
	}
}

func (b *bench) pin(t wiring.Terminal) lit {
	if l, wired := b.pins[b.nets.Of(t)]; wired {
		return l
	}
	return no
}

func (b *bench) readLabels() {
	ways := map[string][]lit{}
	for _, row := range b.Switch {
		if row.Kind == wiring.Read && row.Line == "" {
			label := row.Control[0].Label
			ways[label] = append(ways[label], b.pin(row.Pins[0]))
		}
	}
	b.labels = map[string]lit{}
	for _, row := range b.Switch {
		if row.Kind == wiring.Read && row.Line == "" {
			b.labels[row.Control[0].Label] = b.or(ways[row.Control[0].Label]...)
		}
	}
}

// holds is the literals of a row's control together; a label never read is
// never on.
func (b *bench) holds(row wiring.Switch) lit {
	var all []lit
	for _, l := range row.Control {
		on, read := b.labels[l.Label]
		if !read {
			on = no
		}
		if l.Not {
			on = -on
		}
		all = append(all, on)
	}
	return b.and(all...)
}

// readLines is the least sets that hold what is read and are closed under the
// couple rows.
func (b *bench) readLines() error {
	b.points = map[point]int{}
	node := func(line string, n console.Note) int {
		p := point{line, n}
		i, known := b.points[p]
		if !known {
			i = len(b.points)
			b.points[p] = i
		}
		return i
	}
	for _, row := range b.Switch {
		for i := range row.Len() {
			if row.Line != "" {
				node(row.Line, row.Notes[i])
			}
			if row.Kind == wiring.Couple {
				node(row.To, row.ToNotes[i])
			}
		}
	}
	e := newEquations(len(b.points))
	for _, row := range b.Switch {
		switch {
		case row.Kind == wiring.Read && row.Line != "":
			for i := range row.Len() {
				at := node(row.Line, row.Notes[i])
				e.base[at] = b.or(e.base[at], b.pin(row.Pins[i]))
			}
		case row.Kind == wiring.Couple:
			b.couple(e, row, node)
		}
	}
	groups := e.groups()
	if b.picksItself(groups) {
		return errOwnOutcome
	}
	b.lines = e.solve(b.circuit, groups)
	return nil
}

// couple passes notes of one line to another: all of them, or the lowest or
// highest of the row that is on.
func (b *bench) couple(e *equations, row wiring.Switch, node func(string, console.Note) int) {
	when := b.holds(row)
	var from []int
	order := make([]int, row.Len())
	for i := range order {
		order[i] = i
		from = append(from, node(row.Line, row.Notes[i]))
	}
	switch row.Picks {
	case console.PicksAll:
		for i := range from {
			e.add(node(row.To, row.ToNotes[i]), term{when: when, from: from[i]})
		}
		return
	case console.PicksLowest:
		slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(row.Notes[i], row.Notes[j]) })
	case console.PicksHighest:
		slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(row.Notes[j], row.Notes[i]) })
	}
	var before []int
	for place, i := range order {
		e.add(node(row.To, row.ToNotes[i]), term{when: when, from: from[i], unless: slices.Clone(before)}, from...)
		if place+1 < len(order) && row.Notes[order[place+1]] != row.Notes[i] { // a note with two places passes to both
			before = append(before, from[i])
		}
	}
}

// picksItself reports whether what a picking row passes can change what it
// picks from.
func (b *bench) picksItself(groups [][]int) bool {
	group := make([]int, len(b.points))
	for g, nodes := range groups {
		for _, n := range nodes {
			group[n] = g
		}
	}
	return slices.ContainsFunc(b.Switch, func(row wiring.Switch) bool {
		if row.Kind != wiring.Couple || row.Picks == console.PicksAll {
			return false
		}
		for i := range row.Len() {
			for j := range row.Len() {
				if group[b.points[point{row.Line, row.Notes[i]}]] == group[b.points[point{row.To, row.ToNotes[j]}]] {
					return true
				}
			}
		}
		return false
	})
}
