package probe

import (
	"cmp"
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// Running is a relay compiled to be run in 64 states at once, a bit for each:
// what wiring.Run says. Everything has a number; 0 is nothing, which is never on.
type Running struct {
	in       *console.Instrument
	relay    *wiring.Relay
	contacts numbers[wiring.Item] // of the console
	outputs  numbers[wiring.Item]
	labels   numbers[string]
	lines    numbers[string]
	valves   []opening

	first []int    // of each board and strip: the terminals before it
	netOf []int    // by terminal
	nets  int      // how many there are
	made  []hang   // contacts
	hung  []hang   // outputs
	at    []places // of the wiring rows
	table []wiring.Switch
	rows  []row
	picks []int // rows that pick, each behind those it depends on

	loop  Loop // nil without a plug
	feeds []feed
	taken map[wiring.Terminal]bool // pins that have a plug in the place of their cable
	keys  []bool                   // by contact: it is one of a key
}

// numbers numbers things from 1 as they come.
type numbers[T comparable] map[T]int

func (n numbers[T]) of(thing T) int {
	i, known := n[thing]
	if !known {
		i = len(n) + 1
		n[thing] = i
	}
	return i
}

// hang is a thing that hangs on a terminal.
type hang struct{ thing, terminal int }

// places are where the things of a wiring row stand: for each the place in made
// or, behind those, in hung; -1 for what has no part in which valves open.
type places []place

type place struct {
	output bool
	at     int
}

// row is a row of the switching table.
type row struct {
	kind    wiring.SwitchKind
	control []literal
	label   int   // that a read puts on
	notes   []int // of its line, each the number of a note of a line
	to      []int // notes that a couple row leads to
	pins    []int // terminals
	order   []int // of a row that picks: its places, first choice first
}

type literal struct {
	label int
	not   bool
}

// opening is what opens a valve: an output of its own, or pairs of a note line
// and what turns an action on.
type opening struct {
	own   int
	pairs []pair
}

type pair struct{ line, action, on, off int }

// Compile prepares a relay of an instrument.
func Compile(r *wiring.Relay, in *console.Instrument) *Running {
	x := number(in)
	x.open()
	x.wire(r)
	return x
}

// number numbers what decides which valves of an instrument open.
func number(in *console.Instrument) *Running {
	x := &Running{in: in, contacts: numbers[wiring.Item]{}, outputs: numbers[wiring.Item]{}, labels: numbers[string]{}, lines: numbers[string]{}}
	for _, item := range wiring.Needed(in) {
		if item.Given() {
			x.contacts.of(item)
			continue
		}
		x.outputs.of(item)
		if item.Kind == wiring.ActionKind {
			for _, kind := range []wiring.Kind{wiring.ActionOnKind, wiring.ActionOffKind} {
				item.Kind = kind
				x.outputs.of(item)
			}
		}
	}
	return x
}

// wire takes over the wiring and the table of a relay.
func (x *Running) wire(r *wiring.Relay) {
	x.relay, x.first = r, nil
	nets := wiring.Nets(unjoined(r, x.taken))
	x.nets, x.netOf = nets.Len()+1, []int{0}
	pins := func(on, count int) {
		x.first = append(x.first, len(x.netOf))
		for pin := 1; pin <= count; pin++ {
			x.netOf = append(x.netOf, nets.Of(wiring.Terminal{On: on, Pin: pin})+1)
		}
	}
	for i, b := range r.Boards {
		pins(i, b.Pins)
	}
	for i, s := range r.Strips {
		pins(len(r.Boards)+i, s.Pins)
	}
	x.first = append(x.first, len(x.netOf))
	x.made, x.hung, x.at = nil, nil, nil
	for _, row := range r.Soldered() {
		x.hang(row)
	}
	x.plug()
	x.program(r.Switch)
}

// terminal is the number of a terminal.
func (x *Running) terminal(t wiring.Terminal) int {
	if t.On < 0 || t.Pin < 1 || x.first[t.On]+t.Pin > x.first[t.On+1] {
		return 0
	}
	return x.first[t.On] + t.Pin - 1
}

// cable is the number of a terminal for what hangs there by a cable: of nothing,
// where a plug is in its place.
func (x *Running) cable(t wiring.Terminal) int {
	if x.taken[t] {
		return 0
	}
	return x.terminal(t)
}

// hang notes what hangs where by a wiring row.
func (x *Running) hang(row wiring.Row) {
	at := make(places, min(len(row.Pins), len(row.Items)))
	for i := range at {
		item, terminal := row.Items[i], x.cable(row.Pins[i])
		at[i].at = -1
		if contact := x.contacts[item]; contact > 0 {
			at[i] = place{false, len(x.made)}
			x.made = append(x.made, hang{contact, terminal})
		} else if output := x.outputs[item]; output > 0 {
			at[i] = place{true, len(x.hung)}
			x.hung = append(x.hung, hang{output, terminal})
		}
	}
	x.at = append(x.at, at)
}

// program compiles a switching table.
func (x *Running) program(table []wiring.Switch) {
	x.table, x.rows = table, make([]row, len(table))
	for i, s := range table {
		x.rows[i] = x.compile(s)
	}
	x.picks = wiring.PickOrder(table)
}

func (x *Running) compile(s wiring.Switch) row {
	c := row{kind: s.Kind}
	if s.Kind == wiring.Read && s.Line == "" {
		c.label = x.labels.of(s.Control[0].Label)
	}
	for _, l := range s.Control {
		c.control = append(c.control, literal{x.labels.of(l.Label), l.Not})
	}
	for i := range s.Len() {
		if s.Line != "" {
			c.notes = append(c.notes, x.note(s.Line, s.Notes[i]))
		}
		switch s.Kind {
		case wiring.Couple:
			c.to = append(c.to, x.note(s.To, s.ToNotes[i]))
		case wiring.Drive:
			if c.pins = append(c.pins, 0); x.relay.Drives(s.Pins[i]) {
				c.pins[i] = x.terminal(s.Pins[i])
			}
		default:
			c.pins = append(c.pins, x.terminal(s.Pins[i]))
		}
	}
	if s.Kind == wiring.Couple && s.Picks != console.PicksAll {
		for i := range s.Len() {
			c.order = append(c.order, i)
		}
		slices.SortStableFunc(c.order, func(a, b int) int {
			if s.Picks == console.PicksHighest {
				a, b = b, a
			}
			return cmp.Compare(s.Notes[a], s.Notes[b])
		})
	}
	return c
}

// span is how many notes a line has.
const span = int(console.HighestNote) + 1

// note is the number of a note of a line.
func (x *Running) note(line string, n console.Note) int { return x.lines.of(line)*span + int(n) }

// open notes what opens each valve.
func (x *Running) open() {
	in, outputs := x.in, x.outputs
	x.valves = make([]opening, in.Valves)
	for r, rank := range in.Ranks {
		for _, stand := range rank.Stands {
			chest := in.Chests[stand.Chest]
			for v := stand.From; v <= stand.To; v++ {
				o := &x.valves[rank.Valve(v)]
				if !chest.HasNoteLines() {
					o.own = outputs[wiring.Item{Kind: wiring.ValveKind, Index: r, Of: console.None, Note: v}]
					continue
				}
				for _, d := range chest.Plays {
					action := wiring.Item{Index: r, Of: wiring.ActionOf(in, r, d)}
					number := func(kind wiring.Kind) int {
						action.Kind = kind
						return outputs[action]
					}
					line := wiring.Item{Kind: wiring.NoteKind, Index: stand.Chest, Of: wiring.NoteOf(chest, d), Note: int(rank.Note(v))}
					o.pairs = append(o.pairs, pair{outputs[line], number(wiring.ActionKind), number(wiring.ActionOnKind), number(wiring.ActionOffKind)})
				}
			}
		}
	}
}
