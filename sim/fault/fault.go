// Package fault makes mistakes in a relay on purpose, one at a time and each at
// a place that is named: to practise on, and to find out which of them would
// account for what a real relay does.
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

	// Items are what hangs on the pins that way i moves, opens or bridges; nil
	// where the mistake is in lines and controls.
	Items func(i int) []wiring.Item

	way func(i int) Fault
}

// Way is one of the ways, from 0.
func (s Site) Way(i int) Fault {
	f := s.way(i)
	f.Class = s.Class
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
	Where string            // the pins, boards or row, and what was done with them
	Pins  []wiring.Terminal // that it moves, opens or bridges, by board and pin; none for a mistake in lines and controls
	Relay *wiring.Relay     // with the mistake
}

// Sites are all places for mistakes in a relay, by class.
func Sites(r *wiring.Relay, in *console.Instrument) []Site {
	m := &maker{r: r, in: in}
	return slices.Concat(m.lanes(), m.rows(), m.switching())
}

// maker makes mistakes in copies of a relay.
type maker struct {
	r    *wiring.Relay
	in   *console.Instrument
	nets *wiring.Netlist // of the relay, once it is asked for
}

// soldered is the relay with other wiring.
func (m *maker) soldered(rows []wiring.Row) *wiring.Relay {
	r := *m.r
	r.Wired = rows
	return &r
}

// switched is the relay with other switching.
func (m *maker) switched(rows []wiring.Switch) *wiring.Relay {
	r := *m.r
	r.Switch = rows
	return &r
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
