package walk

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console"
	"trundle/sim/wiring"
)

// Fault is what is open at the end: a step that is not good, and where to look.
type Fault struct {
	Step   Step
	Answer Answer
	Place
}

// Place is where to look for what is wrong.
type Place struct {
	Board string // of the first pin; "" where no pin is known
	Pins  []string
	Legs  []string // every leg from the pins to what hangs there
}

// At is where to look for what is wrong with what hangs on pins. r may be nil.
func At(r *wiring.Relay, in *console.Instrument, pins []wiring.Terminal) Place {
	if r == nil {
		return Place{"", []string{}, []string{}}
	}
	return at(r, wiring.Nets(r), in, pins)
}

// Look is where to look for what is wrong with some items. r may be nil.
func Look(r *wiring.Relay, in *console.Instrument, items []wiring.Item) Place {
	var pins []wiring.Terminal
	if r != nil {
		hung := wiring.PinsOf(r, r.Soldered())
		for _, item := range items {
			pins = append(pins, hung[item]...)
		}
	}
	return At(r, in, pins)
}

func at(r *wiring.Relay, nets *wiring.Netlist, in *console.Instrument, pins []wiring.Terminal) Place {
	p := Place{"", []string{}, []string{}}
	for i, pin := range pins {
		if i == 0 {
			p.Board = r.Board(pin.On)
		}
		p.Pins = append(p.Pins, r.Name(pin))
		p.Legs = append(p.Legs, legs(r, nets, pin, in)...)
	}
	return p
}

// Faults are the steps that are not good, by board and pin; those that lead to
// no pin come last. r may be nil.
func (w *Walk) Faults(r *wiring.Relay, in *console.Instrument) []Fault {
	type placed struct {
		Fault
		first wiring.Terminal
	}
	var list []placed
	var nets *wiring.Netlist
	if r != nil {
		nets = wiring.Nets(r)
	}
	for i, s := range w.Steps {
		a, ok := w.Last(i)
		if !ok || a.Verdict.IsGood() {
			continue
		}
		f := placed{Fault{s, a, Place{"", []string{}, []string{}}}, wiring.Terminal{On: 1 << 30}}
		if r != nil && len(s.Pins) > 0 {
			f.first, f.Place = s.Pins[0], at(r, nets, in, s.Pins)
		}
		list = append(list, f)
	}
	slices.SortStableFunc(list, func(a, b placed) int {
		if a.first.On != b.first.On {
			return a.first.On - b.first.On
		}
		return a.first.Pin - b.first.Pin
	})
	faults := make([]Fault, len(list))
	for i, f := range list {
		faults[i] = f.Fault
	}
	return faults
}

// legs names the wires of a pin's net: those of joins, then those to what hangs.
func legs(r *wiring.Relay, nets *wiring.Netlist, pin wiring.Terminal, in *console.Instrument) (list []string) {
	net := nets.Of(pin)
	if net < 0 {
		return nil
	}
	name := func(from, to, cable string, wires []int, at int) string {
		text := from + " to " + to
		if cable != "" {
			text += " by " + cable
			if at < len(wires) {
				text += fmt.Sprintf(" wire %d", wires[at])
			}
		}
		return text
	}
	for _, leg := range nets.Legs(net) {
		j := r.Joins[leg.Join]
		list = append(list, name(r.Name(j.From[leg.At]), r.Name(j.To[leg.At]), j.Cable, j.Wires, leg.At))
	}
	rows := r.Soldered()
	for _, h := range nets.Hung(net) {
		row := rows[h.Row]
		list = append(list, name(r.Name(row.Pins[h.At]), Words(in, nets.Item(h)), row.Cable, row.Wires, h.At))
	}
	return list
}

// Words is an item in one word of its kind and one of its name: valve bourdon:14.
func Words(in *console.Instrument, item wiring.Item) string {
	kind, name, note := item.Words(in)
	text := strings.TrimSpace(string(kind) + " " + name)
	if note != "" {
		text += ":" + note
	}
	return text
}
