package wiring

import (
	"maps"
	"slices"

	"trundle/console"
)

// Outputs is what a relay does in one state.
type Outputs struct {
	On     map[Terminal]bool // input pins with a made contact
	Driven map[Terminal]bool // output pins, before what joins connect to them
	Open   []bool            // by valve index of the instrument
}

// Run is what the relay does in a state of its instrument, with the wiring
// that is really there: the definition as it reads, one step a function, to be
// compared with what is fast and with what should sound. The transposer is
// not the relay's.
func Run(r *Relay, in *console.Instrument, s console.State) Outputs {
	b := bench{r, in, Nets(r)}
	on := b.pinsOn(given(in, s))
	labels := b.labels(on)
	driven := b.drive(b.lines(on, labels), labels)
	open := b.valves(b.itemsDriven(driven))
	maps.DeleteFunc(on, func(t Terminal, _ bool) bool { return t.On >= len(b.Boards) || b.Boards[t.On].Direction != Input })
	return Outputs{on, driven, open}
}

// bench is a relay with the wiring it runs on.
type bench struct {
	*Relay
	in   *console.Instrument
	nets *Netlist
}

// given is the contacts that are made in a state.
func given(in *console.Instrument, s console.State) map[Item]bool {
	made := map[Item]bool{}
	for _, h := range s.Held {
		made[Item{KeyKind, h.Keyboard, console.None, int(h.Note)}] = true
		if h.Deep {
			made[Item{Key2Kind, h.Keyboard, console.None, int(h.Note)}] = true
		}
	}
	for c, on := range in.On(s) {
		if on {
			made[Item{ControlKind, c, console.None, 0}] = true
		}
	}
	return made
}

// pinsOn is the terminals whose net has a made contact, or is stuck.
func (b bench) pinsOn(made map[Item]bool) map[Terminal]bool {
	on := map[Terminal]bool{}
	for net := range b.nets.Len() {
		if slices.ContainsFunc(b.nets.Hung(net), func(h Hung) bool { return made[b.nets.Item(h)] }) ||
			slices.ContainsFunc(b.Stuck, func(t Terminal) bool { return b.nets.Of(t) == net }) {
			for _, t := range b.nets.Terminals(net) {
				on[t] = true
			}
		}
	}
	return on
}

// labels is the control labels that are on. One that is never read is not.
func (b bench) labels(on map[Terminal]bool) map[string]bool {
	labels := map[string]bool{}
	for _, row := range b.Switch {
		if row.Kind == Read && row.Line == "" && slices.ContainsFunc(row.Pins, func(t Terminal) bool { return on[t] }) {
			labels[row.Control[0].Label] = true
		}
	}
	return labels
}

// holds reports whether every literal of a row does.
func holds(row Switch, labels map[string]bool) bool {
	return !slices.ContainsFunc(row.Control, func(l Literal) bool { return labels[l.Label] == l.Not })
}

// point is one note of a line.
type point struct {
	line string
	note console.Note
}

// lines is every note that is on, on every line: the least sets that hold
// what is read and are closed under the couple rows. A row that picks has its
// say once all is known that it picks from, so that nothing it does changes
// what it picked; one that depends on its own outcome passes nothing.
func (b bench) lines(on map[Terminal]bool, labels map[string]bool) map[point]bool {
	is := map[point]bool{}
	for _, row := range b.Switch {
		if row.Kind == Read && row.Line != "" {
			for i := range row.Len() {
				if on[row.Pins[i]] {
					is[point{row.Line, row.Notes[i]}] = true
				}
			}
		}
	}
	var plain []Switch
	for _, row := range b.Switch {
		if row.Kind == Couple && row.Picks == console.PicksAll && holds(row, labels) {
			plain = append(plain, row)
		}
	}
	closeUnder(is, plain)
	order, _ := pickRows(b.Switch)
	for _, at := range order {
		row := b.Switch[at]
		if note, any := picked(row, is); any && holds(row, labels) {
			for i := range row.Len() {
				if row.Notes[i] == note { // it may lead to several places
					is[point{row.To, row.ToNotes[i]}] = true
				}
			}
			closeUnder(is, plain)
		}
	}
	return is
}

// closeUnder adds to a set what rows pass, until nothing more is passed.
func closeUnder(is map[point]bool, rows []Switch) {
	for grew := true; grew; {
		grew = false
		for _, row := range rows {
			for i := range row.Len() {
				to := point{row.To, row.ToNotes[i]}
				if is[point{row.Line, row.Notes[i]}] && !is[to] {
					is[to], grew = true, true
				}
			}
		}
	}
}

// picked is the lowest or highest note of a row that is on its line.
func picked(row Switch, is map[point]bool) (note console.Note, any bool) {
	var on []console.Note
	for _, n := range row.Notes[:row.Len()] {
		if is[point{row.Line, n}] {
			on = append(on, n)
		}
	}
	switch {
	case on == nil:
		return 0, false
	case row.Picks == console.PicksLowest:
		return slices.Min(on), true
	}
	return slices.Max(on), true
}

// drive is the output pins that the relay drives, and what is stuck.
func (b bench) drive(is map[point]bool, labels map[string]bool) map[Terminal]bool {
	driven := map[Terminal]bool{}
	for _, row := range b.Switch {
		if row.Kind != Drive || !holds(row, labels) {
			continue
		}
		for i := range row.Len() {
			if row.Line == "" || is[point{row.Line, row.Notes[i]}] {
				driven[row.Pins[i]] = true
			}
		}
	}
	maps.DeleteFunc(driven, func(t Terminal, _ bool) bool { return !b.Drives(t) })
	for _, t := range b.Stuck {
		driven[t] = true
	}
	return driven
}

// Drives reports whether a terminal is a pin that a relay can drive: one of an
// output board.
func (r *Relay) Drives(t Terminal) bool {
	return t.On < len(r.Boards) && r.Boards[t.On].Direction == Output && t.Pin >= 1 && t.Pin <= r.Boards[t.On].Pins
}

// itemsDriven is what hangs on the nets of driven pins.
func (b bench) itemsDriven(driven map[Terminal]bool) map[Item]bool {
	items := map[Item]bool{}
	for t := range driven {
		for _, h := range b.nets.Hung(b.nets.Of(t)) {
			items[b.nets.Item(h)] = true
		}
	}
	return items
}

// valves is which valves are open: those whose magnet is driven on a unit
// chest; elsewhere those whose note line meets their action.
func (b bench) valves(driven map[Item]bool) []bool {
	open := make([]bool, b.in.Valves)
	for r, rank := range b.in.Ranks {
		for _, stand := range rank.Stands {
			chest := b.in.Chests[stand.Chest]
			for v := stand.From; v <= stand.To; v++ {
				if !chest.HasNoteLines() {
					open[rank.Valve(v)] = driven[Item{ValveKind, r, console.None, v}]
					continue
				}
				for _, division := range chest.Plays {
					line := Item{NoteKind, stand.Chest, NoteOf(chest, division), int(rank.Note(v))}
					if driven[line] && acts(b.in, driven, r, division) {
						open[rank.Valve(v)] = true
					}
				}
			}
		}
	}
	return open
}

// acts reports whether a rank's action for a division is driven: its pin is,
// or the one that turns it on and not the one that turns it off.
func acts(in *console.Instrument, driven map[Item]bool, rank, division int) bool {
	of := ActionOf(in, rank, division)
	return driven[Item{ActionKind, rank, of, 0}] ||
		driven[Item{ActionOnKind, rank, of, 0}] && !driven[Item{ActionOffKind, rank, of, 0}]
}
