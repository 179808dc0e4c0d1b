package probe

import (
	"trundle/console"
	"trundle/sim/wiring"
)

// Running is a relay compiled to be run in many states: what wiring.Run says,
// followed from the contacts that are made instead of row by row.
type Running struct {
	in   *console.Instrument
	made map[wiring.Item][]int32 // nets of a contact of the console

	reads, labels [][]int32 // by net: the nodes and labels that it puts on
	rows          []row     // couple and drive rows that may hold
	picks         []pick    // couple rows that pick, each behind those it depends on
	leads, drives [][]way   // by node: the nodes and nets it leads to
	alone         []way     // nets driven by controls alone
	hung          [][]int32 // by net: outputs that hang there
	labelCount    int
	outputs       numbers[wiring.Item]
	count         int // nets
	netOf         func(wiring.Terminal) int
	valves        []opening
}

// row is the controls of a switching row; all must hold.
type row []literal

type literal struct {
	label int32 // -1 for one that is never read
	not   bool
}

// way leads to a node or net while a row holds.
type way struct{ row, to int32 }

// pick is a couple row that passes the lowest or highest of its notes.
type pick struct {
	row      int32
	highest  bool
	notes    []console.Note
	from, to []int32 // nodes
}

// opening is what opens a valve: an output of its own, or pairs of a note line
// and what turns an action on.
type opening struct {
	own   int32 // -1 where note lines and actions open it
	pairs []pair
}

type pair struct{ line, action, on, off int32 } // outputs, -1 for none

// node is one note of a line.
type node struct {
	line string
	note console.Note
}

// numbers numbers things from 0 as they come.
type numbers[T comparable] map[T]int32

func (n numbers[T]) of(thing T) int32 {
	i, known := n[thing]
	if !known {
		i = int32(len(n))
		n[thing] = i
	}
	return i
}

// find is the number of a thing, -1 for one that has not come.
func (n numbers[T]) find(thing T) int32 {
	if i, known := n[thing]; known {
		return i
	}
	return -1
}

// Compile prepares a relay of an instrument.
func Compile(r *wiring.Relay, in *console.Instrument) *Running {
	x := &Running{in: in, outputs: numbers[wiring.Item]{}}
	nets := wiring.Nets(r)
	x.count, x.netOf = nets.Len(), nets.Of
	for _, item := range wiring.Needed(in) {
		x.outputs.of(item)
		if item.Kind == wiring.ActionKind {
			for _, kind := range []wiring.Kind{wiring.ActionOnKind, wiring.ActionOffKind} {
				item.Kind = kind
				x.outputs.of(item)
			}
		}
	}
	x.hang(r.Soldered())
	x.table(r, nets)
	x.open()
	return x
}

// hang notes what hangs on which net.
func (x *Running) hang(rows []wiring.Row) {
	x.made, x.hung = map[wiring.Item][]int32{}, make([][]int32, x.count)
	for _, row := range rows {
		for at := range min(len(row.Pins), len(row.Items)) {
			item, net := row.Items[at], x.netOf(row.Pins[at])
			switch out := x.outputs.find(item); {
			case net < 0:
			case item.Given():
				x.made[item] = append(x.made[item], int32(net))
			case out >= 0:
				x.hung[net] = append(x.hung[net], out)
			}
		}
	}
}

// rewired is the same relay with other wiring of the same terminals.
func (x *Running) rewired(rows []wiring.Row) *Running {
	y := *x
	y.hang(rows)
	return &y
}

// table compiles the switching table.
func (x *Running) table(r *wiring.Relay, nets *wiring.Netlist) {
	nodes, labels := numbers[node]{}, numbers[string]{}
	x.reads, x.labels = make([][]int32, nets.Len()), make([][]int32, nets.Len())
	for _, s := range r.Switch {
		for i := range s.Len() {
			if s.Kind != wiring.Read || nets.Of(s.Pins[i]) < 0 {
				continue
			}
			if net := nets.Of(s.Pins[i]); s.Line == "" {
				x.labels[net] = append(x.labels[net], labels.of(s.Control[0].Label))
			} else {
				x.reads[net] = append(x.reads[net], nodes.of(node{s.Line, s.Notes[i]}))
			}
		}
	}
	for _, s := range r.Switch {
		for i := range s.Len() {
			if s.Kind == wiring.Couple {
				nodes.of(node{s.Line, s.Notes[i]})
				nodes.of(node{s.To, s.ToNotes[i]})
			}
		}
	}
	x.leads, x.drives = make([][]way, len(nodes)), make([][]way, len(nodes))
	numbered := map[int]int32{}
	for at, s := range r.Switch {
		if s.Kind == wiring.Read {
			continue
		}
		var controls row
		for _, l := range s.Control {
			controls = append(controls, literal{labels.find(l.Label), l.Not})
		}
		number := int32(len(x.rows))
		numbered[at] = number
		x.rows = append(x.rows, controls)
		for i := range s.Len() {
			var from, to int32 = -1, -1
			if s.Line != "" {
				from = nodes.find(node{s.Line, s.Notes[i]})
			}
			if s.Kind == wiring.Drive && r.Drives(s.Pins[i]) {
				to = int32(nets.Of(s.Pins[i]))
			}
			switch {
			case s.Kind == wiring.Couple && s.Picks == console.PicksAll:
				x.leads[from] = append(x.leads[from], way{number, nodes.find(node{s.To, s.ToNotes[i]})})
			case to >= 0 && s.Line == "":
				x.alone = append(x.alone, way{number, to})
			case to >= 0 && from >= 0:
				x.drives[from] = append(x.drives[from], way{number, to})
			}
		}
	}
	x.labelCount = len(labels)
	for _, at := range wiring.PickOrder(r.Switch) {
		s := r.Switch[at]
		p := pick{row: numbered[at], highest: s.Picks == console.PicksHighest}
		for i := range s.Len() {
			p.notes = append(p.notes, s.Notes[i])
			p.from, p.to = append(p.from, nodes.find(node{s.Line, s.Notes[i]})), append(p.to, nodes.find(node{s.To, s.ToNotes[i]}))
		}
		x.picks = append(x.picks, p)
	}
}

// open notes what opens each valve.
func (x *Running) open() {
	in, outputs := x.in, x.outputs
	x.valves = make([]opening, in.Valves)
	for r, rank := range in.Ranks {
		for _, stand := range rank.Stands {
			chest := in.Chests[stand.Chest]
			for v := stand.From; v <= stand.To; v++ {
				o := &x.valves[rank.Valve(v)]
				if o.own = -1; !chest.HasNoteLines() {
					o.own = outputs.find(wiring.Item{Kind: wiring.ValveKind, Index: r, Of: console.None, Note: v})
					continue
				}
				for _, d := range chest.Plays {
					of := wiring.ActionOf(in, r, d)
					action := func(kind wiring.Kind) int32 {
						return outputs.find(wiring.Item{Kind: kind, Index: r, Of: of})
					}
					o.pairs = append(o.pairs, pair{
						outputs.find(wiring.Item{Kind: wiring.NoteKind, Index: stand.Chest, Of: wiring.NoteOf(chest, d), Note: int(rank.Note(v))}),
						action(wiring.ActionKind), action(wiring.ActionOnKind), action(wiring.ActionOffKind)})
				}
			}
		}
	}
}
