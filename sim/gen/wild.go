package gen

import (
	"math/rand/v2"
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// Wild is a relay in whose rows a hand has been that knew no rule, and that is
// still to be run as its rows say: it reads outputs, drives inputs, names pins
// that are not there, waits for labels that nothing reads, lets ranges differ
// in length and notes come twice, passes lines round in circles and picks from
// them, hangs several things on a pin and one thing on several, joins anything
// to anything, and turns actions on and off. Some rows still do no harm.
func Wild(seed uint64, in *console.Instrument) *wiring.Relay {
	r := rand.New(rand.NewPCG(seed, 7))
	w := &wild{Rand: r, in: in, relay: Design(seed, in, AnyOptions(seed)), labels: []string{"never-read"}}
	w.relay.Derived = false
	for _, row := range w.relay.Switch {
		if row.Line != "" && !slices.Contains(w.lines, row.Line) {
			w.lines = append(w.lines, row.Line)
		}
	}
	w.labels = append(w.labels, labelsOf(w.relay.Switch)...)
	w.Shuffle(len(w.lines), func(i, j int) { w.lines[i], w.lines[j] = w.lines[j], w.lines[i] })
	w.lines = append(w.lines[:min(len(w.lines), 3)], "wild") // few, so that rows meet
	for range 1 + w.IntN(8) {
		pick(w, []func(){w.drop, w.turn, w.read, w.couple, w.couple, w.couple, w.drive, w.drive, w.hang, w.join, w.coils})()
	}
	return w.relay
}

// wild is a relay that is being spoilt.
type wild struct {
	*rand.Rand
	in     *console.Instrument
	relay  *wiring.Relay
	lines  []string
	labels []string
}

// drop takes a row away.
func (w *wild) drop() {
	at := w.IntN(len(w.relay.Switch))
	w.relay.Switch = slices.Delete(slices.Clone(w.relay.Switch), at, at+1)
}

// turn makes an output board an input, or the other way round.
func (w *wild) turn() {
	w.relay.Boards = slices.Clone(w.relay.Boards)
	switch b := &w.relay.Boards[w.IntN(len(w.relay.Boards))]; b.Direction {
	case wiring.Input:
		b.Direction = wiring.Output
	default:
		b.Direction = wiring.Input
	}
}

func (w *wild) add(s wiring.Switch) { w.relay.Switch = append(w.relay.Switch, s) }

func (w *wild) read() {
	s := wiring.Switch{Kind: wiring.Read, Pins: []wiring.Terminal{w.pin()}}
	if w.IntN(2) == 0 {
		s.Control = []wiring.Literal{{Label: pick(w, w.labels)}}
	} else {
		s.Line, s.Notes = pick(w, w.lines), w.notes()
	}
	w.add(s)
}

func (w *wild) couple() {
	w.add(wiring.Switch{Kind: wiring.Couple, Line: pick(w, w.lines), Notes: w.notes(), Control: w.control(), To: pick(w, w.lines), ToNotes: w.notes(),
		Picks: pick(w, []console.Picks{console.PicksAll, console.PicksLowest, console.PicksHighest})})
}

func (w *wild) drive() {
	s := wiring.Switch{Kind: wiring.Drive, Control: w.control()}
	for range 1 + w.IntN(2) {
		s.Pins = append(s.Pins, w.pin())
	}
	if w.IntN(2) == 0 {
		s.Line, s.Notes = pick(w, w.lines), w.notes()
	}
	w.add(s)
}

// notes are a few notes in any order, perhaps one of them twice.
func (w *wild) notes() []console.Note {
	var list []console.Note
	for range 1 + w.IntN(3) {
		list = append(list, middle+console.Note(w.IntN(4)-1))
	}
	return list
}

func (w *wild) control() []wiring.Literal {
	var list []wiring.Literal
	for range w.IntN(3) {
		list = append(list, wiring.Literal{Label: pick(w, w.labels), Not: w.IntN(2) == 0})
	}
	return list
}

// pin is a pin that something hangs on, or now and then one that is not there.
func (w *wild) pin() wiring.Terminal {
	t := pick(w, pick(w, w.relay.Plan).Pins)
	if t.On >= len(w.relay.Boards) || w.IntN(8) == 0 {
		t = wiring.Terminal{On: w.IntN(len(w.relay.Boards)), Pin: 1 + w.IntN(200)}
	}
	return t
}

// hang hangs one thing more on some pin.
func (w *wild) hang() {
	item := pick(w, wiring.Needed(w.in))
	row := wiring.Row{Kind: item.Kind, Pins: []wiring.Terminal{w.pin()}, Items: []wiring.Item{item}}
	if w.relay.Wired != nil {
		w.relay.Wired = append(w.relay.Wired, row)
	} else {
		w.relay.Plan = append(w.relay.Plan, row)
	}
}

func (w *wild) join() {
	w.relay.Joins = append(w.relay.Joins, wiring.Join{From: []wiring.Terminal{w.pin()}, To: []wiring.Terminal{w.pin()}})
}

// coils makes every action one that a coil turns on, and hangs coils that turn
// one off somewhere.
func (w *wild) coils() {
	rows := slices.Clone(w.relay.Soldered())
	for i, row := range rows {
		if row.Kind == wiring.ActionKind {
			rows[i].Kind, rows[i].Items = wiring.ActionOnKind, slices.Clone(row.Items)
			for at := range rows[i].Items {
				rows[i].Items[at].Kind = wiring.ActionOnKind
			}
			off := rows[i]
			off.Kind, off.Pins, off.Items = wiring.ActionOffKind, []wiring.Terminal{w.pin()}, slices.Clone(off.Items[:1])
			off.Items[0].Kind = wiring.ActionOffKind
			rows = append(rows, off)
		}
	}
	if w.relay.Wired != nil {
		w.relay.Wired = rows
	} else {
		w.relay.Plan = rows
	}
}
