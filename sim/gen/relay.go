package gen

import (
	"fmt"
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
	Coils   bool // coils and lamps of the knobs
	Wired   bool // a list of what was soldered, which says what the plan says in other rows
	Reshape bool // switching rows in other shapes that do the same
	Derived bool // no switching table at all
}

// AnyOptions are the options of a seed: each of them in half of the seeds,
// Derived in a quarter.
func AnyOptions(seed uint64) Options {
	r := rand.New(rand.NewPCG(seed, 1))
	half := func() bool { return r.IntN(2) == 0 }
	return Options{Spares: half(), Orders: half(), Doubled: half(), Strips: half(), Cables: half(), Coils: half(), Wired: half(),
		Reshape: half(), Derived: half() && half()}
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
	number(l.relay)
	return l.relay
}

// inputs wires keys, the contacts of controls, and buttons.
func (l *layout) inputs() {
	for k, keyboard := range l.in.Keyboards {
		for _, kind := range []wiring.Kind{wiring.KeyKind, wiring.Key2Kind}[:keyboard.Touches] {
			var keys []wiring.Item
			for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
				keys = append(keys, wiring.Item{Kind: kind, Index: k, Of: console.None, Note: int(n)})
			}
			l.perhapsTwice(keyPins, kind, keyboard.ID, keys)
		}
	}
	for c, control := range l.in.Controls {
		item := wiring.Item{Kind: wiring.ControlKind, Index: c, Of: console.None}
		l.perhapsTwice(controlPins, contactKind(control.Kind), control.ID, []wiring.Item{item})
	}
	if l.in.Combination != nil {
		for b, button := range l.in.Combination.Buttons {
			l.run(controlPins, wiring.ButtonKind, button.ID, "", []wiring.Item{{Kind: wiring.ButtonKind, Index: b, Of: console.None}})
		}
	}
}

// contactKind is how a wiring row calls the contact of a control.
func contactKind(k console.ControlKind) wiring.Kind {
	switch k {
	case console.StopControl:
		return wiring.StopKind
	case console.CouplerControl:
		return wiring.CouplerKind
	case console.VentilControl:
		return wiring.VentilKind
	case console.TremulantControl:
		return wiring.TremulantKind
	}
	return wiring.ControlKind
}

// outputs wires note lines, actions, the valves of unit chests, the magnets of
// ventils and tremulants, and the knobs' coils.
func (l *layout) outputs() {
	for c, chest := range l.in.Chests {
		if chest.HasNoteLines() {
			l.noteLines(c, chest)
		}
	}
	for r, rank := range l.in.Ranks {
		l.rank(r, rank)
	}
	for c, control := range l.in.Controls {
		switch control.Kind {
		case console.VentilControl:
			l.control(wiring.VentilKind, c)
		case console.TremulantControl:
			l.control(wiring.TremulantKind, c)
		}
		if l.opt.Coils && control.Style == console.Moving {
			l.control(wiring.KnobOnKind, c)
			l.control(wiring.KnobOffKind, c)
		}
		if l.opt.Coils && control.Style == console.Lit {
			l.control(wiring.LampKind, c)
		}
	}
}

func (l *layout) control(kind wiring.Kind, c int) {
	l.run(actionPins, kind, l.in.Controls[c].ID, "", []wiring.Item{{Kind: kind, Index: c, Of: console.None}})
}

func (l *layout) noteLines(c int, chest console.Chest) {
	for _, d := range chest.Plays {
		name, of, notes := chest.ID, console.None, chest.Notes
		if len(chest.Plays) > 1 {
			name, of = fmt.Sprintf("%s/%s", chest.ID, l.in.Divisions[d].ID), d
		}
		var items []wiring.Item
		for n := notes.From; n <= notes.To; n++ {
			items = append(items, wiring.Item{Kind: wiring.NoteKind, Index: c, Of: of, Note: int(n)})
		}
		l.perhapsTwice(outputPins, wiring.NoteKind, name, items)
	}
}

// rank wires a rank's actions on chests with note lines, one a division that
// plays it, and its valves on unit chests.
func (l *layout) rank(r int, rank console.Rank) {
	var valves []wiring.Item
	for _, stand := range rank.Stands {
		chest := l.in.Chests[stand.Chest]
		if !chest.HasNoteLines() {
			for v := stand.From; v <= stand.To; v++ {
				valves = append(valves, wiring.Item{Kind: wiring.ValveKind, Index: r, Of: console.None, Note: v})
			}
			continue
		}
		for _, d := range chest.Plays {
			name, of := rank.ID, console.None
			if len(chest.Plays) > 1 {
				name, of = fmt.Sprintf("%s/%s", rank.ID, l.in.Divisions[d].ID), d
			}
			l.perhapsTwice(actionPins, wiring.ActionKind, name, []wiring.Item{{Kind: wiring.ActionKind, Index: r, Of: of}})
		}
	}
	bass := min(12, len(valves))
	if bass > 0 && l.opt.Doubled && l.IntN(4) == 0 { // two magnets to each of the big pipes
		l.run(outputPins, wiring.ValveKind, rank.ID, "pairs-"+rank.ID, valves[:bass])
		l.run(outputPins, wiring.ValveKind, rank.ID, "pairs-"+rank.ID, valves[:bass])
		valves = valves[bass:]
	}
	l.run(outputPins, wiring.ValveKind, rank.ID, "", valves)
}
