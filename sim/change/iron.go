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

// soldered is a thing on a pin of the old wiring.
type soldered struct {
	thing
	row, at int
}

// Iron is what there is to solder so that the wiring of a relay for the old
// instrument, as soldered, has everything of the new one. Its switching has to
// follow; where it is derived, it does.
func Iron(old, new *console.Instrument, r *wiring.Relay) []Job {
	l := &list{old: old, new: new, relay: r, hung: map[thing]bool{}, taken: map[wiring.Terminal]bool{}, kinds: map[wiring.Kind]bool{}}
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
	taken    map[wiring.Terminal]bool
	order    []thing // what the new instrument needs, in the order of its file
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
		}
	}
	for _, j := range l.relay.Joins { // a pin that leads to a strip is not free
		for _, t := range slices.Concat(j.From, j.To) {
			l.taken[t] = true
		}
	}
}

// needs are the things of the new instrument that must be wired; of coils,
// lamps, ventils and the like only where the relay wires any.
func (l *list) needs() map[thing]bool {
	all := map[thing]bool{}
	need := func(t thing) {
		if !all[t] {
			all[t] = true
			l.order = append(l.order, t)
		}
	}
	for _, k := range l.new.Keyboards {
		for _, kind := range []wiring.Kind{wiring.KeyKind, wiring.Key2Kind}[:max(1, k.Touches)] {
			for n := k.Keys.From; n <= k.Keys.To; n++ {
				need(thing{kind, k.ID, "", int(n)})
			}
		}
	}
	for _, c := range l.new.Controls {
		need(thing{wiring.ControlKind, c.ID, "", 0})
		for _, kind := range coils(c) {
			if l.kinds[kind] {
				need(thing{kind, c.ID, "", 0})
			}
		}
	}
	if l.new.Combination != nil {
		for _, b := range l.new.Combination.Buttons {
			need(thing{wiring.ButtonKind, b.ID, "", 0})
		}
	}
	l.chests(need)
	return all
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

// chests needs note lines and actions, and the valves of unit chests.
func (l *list) chests(need func(thing)) {
	of := func(d int) string {
		if d == console.None {
			return ""
		}
		return l.new.Divisions[d].ID
	}
	for _, chest := range l.new.Chests {
		for _, d := range chest.Plays {
			for n := chest.Notes.From; chest.HasNoteLines() && n <= chest.Notes.To; n++ {
				need(thing{wiring.NoteKind, chest.ID, of(wiring.NoteOf(chest, d)), int(n)})
			}
		}
	}
	actions := []wiring.Kind{wiring.ActionKind}
	if !l.kinds[wiring.ActionKind] && l.kinds[wiring.ActionOnKind] {
		actions = []wiring.Kind{wiring.ActionOnKind, wiring.ActionOffKind}
	}
	for r, rank := range l.new.Ranks {
		for _, stand := range rank.Stands {
			chest := l.new.Chests[stand.Chest]
			for v := stand.From; !chest.HasNoteLines() && v <= stand.To; v++ {
				need(thing{wiring.ValveKind, rank.ID, "", int(rank.Note(v))})
			}
			for _, d := range chest.Plays {
				for _, kind := range actions {
					if chest.HasNoteLines() {
						need(thing{kind, rank.ID, of(wiring.ActionOf(l.new, r, d)), 0})
					}
				}
			}
		}
	}
}
