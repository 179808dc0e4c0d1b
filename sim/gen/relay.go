package gen

import (
	"math/rand/v2"

	"trundle/console"
	"trundle/sim/wiring"
)

// Options say how a generated relay is laid out. The zero Options make the
// plainest: every run in ascending order, on the pins next in line, and the
// switching as wiring.Derive makes it, written out.
type Options struct {
	Spares  bool // pins left over between runs
	Orders  bool // runs that descend, and runs that list the C side before the C-sharp side
	Doubled bool // keys, controls and magnets on two pins
	Strips  bool // output runs that pass a terminal strip
	Cables  bool // cables and wires
	Coils   bool // coils and lamps of the knobs, and shades
	Wired   bool // a list of what was soldered, which says what the plan says in other rows
	Reshape bool // switching rows in other shapes that do the same
	Derived bool // no switching table at all
}

// AnyOptions are the options of a seed: each of them in half of the seeds,
// Derived in a quarter.
func AnyOptions(seed uint64) Options {
	r := rand.New(rand.NewPCG(seed, 1))
	half := func() bool { return r.IntN(2) == 0 }
	quarter := func() bool { return r.IntN(4) == 0 }
	return Options{Spares: half(), Orders: half(), Doubled: half(), Strips: half(), Cables: half(), Coils: half(), Wired: half(),
		Reshape: half(), Derived: quarter()}
}

// Design is a relay that plays an instrument, and its wiring. It is the same
// that reading Relay's files gives.
func Design(seed uint64, in *console.Instrument, opt Options) *wiring.Relay {
	l := &layout{
		Rand:   rand.New(rand.NewPCG(seed, 2)),
		in:     in,
		relay:  &wiring.Relay{File: RelayFile, Derived: opt.Derived},
		opt:    opt,
		used:   map[string]int{},
		filled: map[int]int{},
	}
	l.inputs()
	l.outputs()
	l.spareRest()
	l.placeStrips()
	if opt.Cables {
		l.cables()
	}
	if opt.Wired {
		l.relay.Wired = l.resplit(l.relay.Plan)
	}
	l.relay.Switch = wiring.Derive(l.relay, in)
	if opt.Reshape && !opt.Derived {
		l.relay.Switch = reshape(l.Rand, l.relay.Switch)
	}
	number(l.relay, in)
	return l.relay
}

// inputs wires keys, the contacts of controls, and buttons.
func (l *layout) inputs() {
	for k, keyboard := range l.in.Keyboards {
		for _, kind := range []wiring.Kind{wiring.KeyKind, wiring.Key2Kind}[:keyboard.Touches] {
			l.perhapsTwice(keyPins, spread(wiring.Item{Kind: kind, Index: k, Of: console.None}, int(keyboard.Keys.From), int(keyboard.Keys.To)))
		}
	}
	for c := range l.in.Controls {
		l.perhapsTwice(controlPins, single(wiring.ControlKind, c))
	}
	if l.in.Combination != nil {
		for b := range l.in.Combination.Buttons {
			l.run(controlPins, "", single(wiring.ButtonKind, b))
		}
	}
}

// single is a run of one item, which has no notes.
func single(kind wiring.Kind, index int) []wiring.Item {
	return []wiring.Item{{Kind: kind, Index: index, Of: console.None}}
}

// spread is a run of items of an ascending run of notes or numbers.
func spread(item wiring.Item, from, to int) []wiring.Item {
	var items []wiring.Item
	for item.Note = from; item.Note <= to; item.Note++ {
		items = append(items, item)
	}
	return items
}

// outputs wires note lines, actions, the valves of unit chests, the magnets of
// ventils and tremulants, and what has no part in which valves open.
func (l *layout) outputs() {
	for c, chest := range l.in.Chests {
		if !chest.HasNoteLines() {
			continue
		}
		for _, d := range chest.Plays {
			lines := wiring.Item{Kind: wiring.NoteKind, Index: c, Of: wiring.NoteOf(chest, d)}
			l.perhapsTwice(outputPins, spread(lines, int(chest.Notes.From), int(chest.Notes.To)))
		}
	}
	for r, rank := range l.in.Ranks {
		l.rank(r, rank)
	}
	for c, control := range l.in.Controls {
		switch {
		case control.Kind == console.VentilControl:
			l.run(actionPins, "", single(wiring.VentilKind, c))
		case control.Kind == console.TremulantControl:
			l.run(actionPins, "", single(wiring.TremulantKind, c))
		}
		switch {
		case l.opt.Coils && control.Style == console.Moving:
			l.run(actionPins, "", single(wiring.KnobOnKind, c))
			l.run(actionPins, "", single(wiring.KnobOffKind, c))
		case l.opt.Coils && control.Style == console.Lit:
			l.run(actionPins, "", single(wiring.LampKind, c))
		}
	}
	if l.opt.Coils {
		for b, box := range l.in.Boxes {
			l.run(actionPins, "", spread(wiring.Item{Kind: wiring.ShadeKind, Index: b, Of: console.None}, 1, box.Magnets()))
		}
	}
}

// rank wires a rank's actions on chests with note lines, one a division that
// plays it, and its valves on unit chests.
func (l *layout) rank(r int, rank console.Rank) {
	var valves []wiring.Item
	for _, stand := range rank.Stands {
		chest := l.in.Chests[stand.Chest]
		if !chest.HasNoteLines() {
			valves = append(valves, spread(wiring.Item{Kind: wiring.ValveKind, Index: r, Of: console.None}, stand.From, stand.To)...)
			continue
		}
		for _, d := range chest.Plays {
			action := wiring.Item{Kind: wiring.ActionKind, Index: r, Of: wiring.NoteOf(chest, d)}
			l.perhapsTwice(actionPins, []wiring.Item{action})
		}
	}
	if bass := min(12, len(valves)); bass > 0 && l.opt.Doubled && l.IntN(4) == 0 { // two magnets to each of the big pipes
		l.twice(outputPins, valves[:bass])
		valves = valves[bass:]
	}
	if len(valves) > 0 {
		l.run(outputPins, "", valves)
	}
}
