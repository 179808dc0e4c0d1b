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
	Write  Do = "write"  // leave wire and label: the row in the wiring table would mean something else
)

// Job is a run of wires with which the same is to be done.
type Job struct {
	Do    Do
	Board string // or strip; "" where nothing is free for an addition
	Pins  []int  // of the board
	Kind  wiring.Kind
	Item  string // as wiring rows name it in the new instrument, for a removal in the old one
	Notes []int  // keys, note lines, numbers of valves, shades and stages; nil for what has none
	From  string // for a move the chest it went to, for a re-tag what the label said, for a row to write what it says
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
	item    wiring.Item // in the old instrument
	row, at int
}

// Iron is what there is to solder so that the wiring of a relay for the old
// instrument, as soldered, has everything of the new one, and which rows of its
// table are to be written anew for that. Switching says what the relay's own
// table needs.
func Iron(old, new *console.Instrument, r *wiring.Relay) []Job {
	return work(old, new, r).sorted()
}

// work makes the list.
func work(old, new *console.Instrument, r *wiring.Relay) *list {
	l := &list{old: old, new: new, relay: r, is: itemsOf(new), hung: map[thing]bool{}, taken: map[wiring.Terminal]bool{}, kinds: map[wiring.Kind]bool{},
		boards: map[like][]int{}, planned: map[thing]wiring.Terminal{}, inherited: map[thing]wiring.Terminal{}}
	l.hang()
	l.had = setOf(l.complete(old))
	needs := l.needs()
	l.needed = setOf(needs)
	kept := map[int][]soldered{} // by row
	for _, s := range l.soldered {
		if l.stays(s.thing) {
			kept[s.row] = append(kept[s.row], s)
		} else {
			l.remove(s)
		}
	}
	for row := range l.relay.Soldered() {
		misread := l.misread(row, kept[row])
		for _, s := range kept[row] {
			l.keep(s, misread)
		}
	}
	l.reserve()
	l.inherit(needs)
	var together [][]thing
	at := map[thing]int{} // 1 + the place in together, by a thing without its note
	for _, t := range needs {
		if l.hung[t] {
			continue
		}
		of := t
		of.note = 0
		if at[of] == 0 {
			together = append(together, nil)
			at[of] = len(together)
		}
		together[at[of]-1] = append(together[at[of]-1], t)
	}
	for _, things := range together {
		l.add(things)
	}
	return l
}

// list is a list of jobs being made.
type list struct {
	old, new *console.Instrument
	relay    *wiring.Relay
	is       map[thing]wiring.Item // what the new instrument has, needed or not
	soldered []soldered
	hung     map[thing]bool
	kinds    map[wiring.Kind]bool
	boards   map[like][]int // and strips, that things of a sort hang on, in the order of the rows
	taken    map[wiring.Terminal]bool

	had, needed map[thing]bool            // what a complete relay of the old instrument has, and what this one needs for the new
	planned     map[thing]wiring.Terminal // free pins that the plan has for what was not soldered
	inherited   map[thing]wiring.Terminal // pins that their like has left
	added       []hook
	jobs        []Job
}

// hang lists what is soldered.
func (l *list) hang() {
	for i, row := range l.relay.Soldered() {
		for at := range min(len(row.Pins), len(row.Items)) {
			t, named := l.thing(row.Items[at])
			if !named {
				if row.Kind != wiring.SpareKind {
					l.taken[row.Pins[at]] = true
				}
				continue
			}
			l.soldered = append(l.soldered, soldered{t, row.Items[at], i, at})
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

// reserve keeps the pins of what is planned and was not soldered.
func (l *list) reserve() {
	for _, row := range l.relay.Plan {
		for at := range min(len(row.Pins), len(row.Items)) {
			t, _ := l.thing(row.Items[at])
			if pin := row.Pins[at]; l.needed[t] && !l.hung[t] && !l.taken[pin] {
				l.planned[t], l.taken[pin] = pin, true
			}
		}
	}
}

// thing is what an item of the old instrument is. What one division alone
// plays in either is the same wire, whichever division that is.
func (l *list) thing(item wiring.Item) (t thing, named bool) {
	t, named = thingOf(l.old, item)
	if t.of != "" && t.of == player(l.old, t) {
		if now := player(l.new, t); now != "" {
			t.of = now
		}
	}
	return t, named
}

// stays reports whether a thing keeps its wire: the new instrument needs it, or
// has it and the old one did not need it either.
func (l *list) stays(t thing) bool {
	_, exists := l.is[t]
	return l.needed[t] || exists && !l.had[t]
}

// hook is where an addition goes.
type hook struct {
	thing
	pin wiring.Terminal
}

func setOf(things []thing) map[thing]bool {
	set := map[thing]bool{}
	for _, t := range things {
		set[t] = true
	}
	return set
}
