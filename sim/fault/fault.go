// Package fault makes mistakes in a relay on purpose, one at a time and each at
// a place that is named: to practise on, and to find out which of them would
// account for what a real relay does.
//
// Its ways of mixing up a lane are mistakes as hands make them, numbered so that
// one can be made without the others. sim/cause has ways of its own: it puts right
// what it finds, anywhere in a run and by any number of places. sim/gen has its own
// too, because it is the judge of both.
package fault

import (
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// Site is where a class of mistakes can be made, in Count ways.
type Site struct {
	Class string
	In    Table
	Row   int // of the switching, where the mistake is in a row of it
	Count int
	Among []wiring.Terminal // the pins that its ways choose from; nil where they choose from no run of pins

	// Items are what hangs on the pins that way i moves, opens or bridges; nil
	// where the mistake is in lines and controls.
	Items func(i int) []wiring.Item

	// Edit is what way i changes.
	Edit func(i int) Edit

	name func(i int) (where string, pins []wiring.Terminal)
	r    *wiring.Relay
}

// Named is one of the ways, from 0, without the relay that has the mistake.
func (s Site) Named(i int) Fault {
	where, pins := s.name(i)
	return Fault{Class: s.Class, In: s.In, Where: where, Pins: pins}
}

// Way is one of the ways, from 0.
func (s Site) Way(i int) Fault {
	f := s.Named(i)
	f.Relay = s.Edit(i).Make(s.r)
	return f
}

// Table is the table that a mistake is in.
type Table string

const (
	Soldered  Table = "wiring"
	Joined    Table = "joins"
	Switching Table = "switching"
)

// Fault is one mistake.
type Fault struct {
	Class string
	In    Table
	Where string            // the pins, boards or row, and what was done with them
	Pins  []wiring.Terminal // that it moves, opens or bridges, by board and pin; none for a mistake in lines and controls
	Relay *wiring.Relay     // with the mistake
}

// Sites are all places for mistakes in a relay, by class.
func Sites(r *wiring.Relay, in *console.Instrument) []Site {
	m := &maker{r: r, in: in}
	sites := slices.Concat(m.lanes(), m.rows(), m.switching())
	for i := range sites {
		sites[i].r = r
	}
	return sites
}

// maker looks for places for mistakes.
type maker struct {
	r    *wiring.Relay
	in   *console.Instrument
	nets *wiring.Netlist // of the relay, once it is asked for
}

// matters reports whether what hangs on a row's pins has a part in which valves open.
func (m *maker) matters(row wiring.Row) bool {
	if len(row.Items) == 0 || len(row.Pins) == 0 {
		return false
	}
	switch item := row.Items[0]; item.Kind {
	case wiring.KeyKind, wiring.Key2Kind, wiring.NoteKind, wiring.ActionKind, wiring.ActionOnKind, wiring.ActionOffKind, wiring.ValveKind:
		return true
	case wiring.ControlKind:
		switch m.in.Controls[item.Index].Kind {
		case console.StopControl, console.CouplerControl, console.UnisonOffControl, console.TransferControl, console.DivideControl:
			return true
		}
	}
	return false
}

// name is a terminal, or a run of those of one board.
func (m *maker) name(pins ...wiring.Terminal) string {
	if len(pins) == 0 {
		return ""
	}
	var numbers []int
	for _, p := range pins {
		if p.On != pins[0].On {
			return m.r.Name(pins[0]) + "..." + m.r.Name(pins[len(pins)-1])
		}
		numbers = append(numbers, p.Pin)
	}
	return m.r.Board(pins[0].On) + "." + wiring.FormatNumbers(numbers)
}
