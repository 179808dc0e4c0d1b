package change

import (
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// Do is what there is to do with a soldering iron, or a label.
type Do string

const (
	Remove Do = "remove" // take a wire off its pin
	Move   Do = "move"   // leave the pin, take the other end to another chest
	Add    Do = "add"    // solder a wire that was not there
	Retag  Do = "re-tag" // leave the wire, write another label
)

// Job is a run of wires with which the same is to be done.
type Job struct {
	Do    Do
	Board string // or strip; "" where nothing is free for an addition
	Pins  []int  // of the board
	Kind  wiring.Kind
	Item  string // as wiring rows name it in the new instrument, for a removal in the old one
	Notes []int  // keys, note lines, valve numbers; nil for what has none
	From  string // for a move the chest it went to, for a re-tag what the label said
	Was   []int  // for a re-tag the numbers that it said
	To    string // for a move the chest it goes to, for the rest what the label says
	Cable string
	Wires []int
}

// thing is what hangs on a pin, so that it is the same in both instruments: a
// pipe is its rank and note, whatever number its valve has.
type thing struct {
	kind   wiring.Kind
	id, of string
	note   int
}

// like is things of one kind, of one id or, with none, of any.
type like struct {
	kind wiring.Kind
	id   string
}

// soldered is a thing on a pin of the old wiring.
type soldered struct {
	thing
	row, at int
}

// Iron is what there is to solder so that the wiring of a relay for the old
// instrument, as soldered, has everything of the new one. Its switching has to
// follow; where it is derived, it does.
func Iron(old, new *console.Instrument, r *wiring.Relay) []Job {
	l := &list{old: old, new: new, relay: r, hung: map[thing]bool{}, taken: map[wiring.Terminal]bool{}, kinds: map[wiring.Kind]bool{}, boards: map[like][]int{}, tried: map[int]int{}}
	l.hang()
	needs := l.needs()
	var kept []soldered
	for _, s := range l.soldered {
		if needs[s.thing] || l.exists(s.thing) {
			kept = append(kept, s)
		} else {
			l.remove(s)
		}
	}
	for _, s := range kept {
		l.keep(s)
	}
	for _, t := range l.order {
		if !l.hung[t] {
			l.add(t)
		}
	}
	return l.sorted()
}

// list is a list of jobs being made.
type list struct {
	old, new *console.Instrument
	relay    *wiring.Relay
	soldered []soldered
	hung     map[thing]bool
	kinds    map[wiring.Kind]bool
	boards   map[like][]int // and strips, that things of a sort hang on, in the order of the rows
	taken    map[wiring.Terminal]bool
	tried    map[int]int // by board: the last pin that was looked at for an addition
	order    []thing     // what the new instrument needs, in the order of its file
	jobs     []Job
}

// hang lists what is soldered.
func (l *list) hang() {
	for i, row := range l.relay.Soldered() {
		for at := range min(len(row.Pins), len(row.Items)) {
			t, named := thingOf(l.old, row.Items[at])
			if !named {
				if row.Kind != wiring.SpareKind {
					l.taken[row.Pins[at]] = true
				}
				continue
			}
			l.soldered = append(l.soldered, soldered{t, i, at})
			l.hung[t], l.kinds[t.kind], l.taken[row.Pins[at]] = true, true, true
			for _, sort := range []like{{t.kind, t.id}, {kind: t.kind}} {
				if on := row.Pins[at].On; !slices.Contains(l.boards[sort], on) {
					l.boards[sort] = append(l.boards[sort], on)
				}
			}
		}
	}
	for _, j := range l.relay.Joins { // a pin that leads to a strip is not free
		for _, t := range slices.Concat(j.From, j.To) {
			l.taken[t] = true
		}
	}
}

// needs are the things of the new instrument that must be wired; of coils,
// lamps, ventils, buttons and the like only where the relay wires any.
func (l *list) needs() map[thing]bool {
	all := map[thing]bool{}
	need := func(t thing) {
		if !all[t] {
			all[t] = true
			l.order = append(l.order, t)
		}
	}
	for _, item := range wiring.Needed(l.new) {
		t, _ := thingOf(l.new, item)
		if t.kind != wiring.ActionKind {
			need(t)
		} else {
			for _, t.kind = range l.acts(t) {
				need(t)
			}
		}
		if t.kind == wiring.ControlKind {
			for _, t.kind = range coils(l.new.Controls[item.Index]) {
				if l.kinds[t.kind] {
					need(t)
				}
			}
		}
	}
	if l.new.Combination != nil && (l.kinds[wiring.ButtonKind] || l.old.Combination == nil) {
		for _, b := range l.new.Combination.Buttons {
			need(thing{wiring.ButtonKind, b.ID, "", 0})
		}
	}
	return all
}

// acts are the coils of an action: those that it has, for a new one those that
// the relay's others have.
func (l *list) acts(action thing) []wiring.Kind {
	on, off := action, action
	on.kind, off.kind = wiring.ActionOnKind, wiring.ActionOffKind
	if l.hung[on] || l.hung[off] || !l.hung[action] && !l.kinds[wiring.ActionKind] && l.kinds[wiring.ActionOnKind] {
		return []wiring.Kind{wiring.ActionOnKind, wiring.ActionOffKind}
	}
	return []wiring.Kind{wiring.ActionKind}
}

// coils are the output kinds that a control may have wires of.
func coils(c console.Control) []wiring.Kind {
	var kinds []wiring.Kind
	switch c.Style {
	case console.Moving, "":
		kinds = append(kinds, wiring.KnobOnKind, wiring.KnobOffKind)
	case console.Lit:
		kinds = append(kinds, wiring.LampKind)
	}
	switch c.Kind {
	case console.VentilControl:
		kinds = append(kinds, wiring.VentilKind)
	case console.TremulantControl:
		kinds = append(kinds, wiring.TremulantKind)
	}
	return kinds
}
