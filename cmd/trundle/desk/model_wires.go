package desk

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"trundle/console"
	"trundle/sim/circuit"
	"trundle/sim/wiring"
)

// Relay is a relay to be watched.
type Relay struct {
	in      *console.Instrument
	relay   *wiring.Relay
	nets    *wiring.Netlist
	pins    map[wiring.Item][]wiring.Terminal // boards' pins, by what hangs on them
	circuit *circuit.Circuit                  // nil where the relay file says nothing of electricity
}

// NewRelay prepares a relay of an instrument; the circuit may be nil.
func NewRelay(in *console.Instrument, r *wiring.Relay, c *circuit.Circuit) *Relay {
	w := &Relay{in: in, relay: r, nets: wiring.Nets(r), pins: map[wiring.Item][]wiring.Terminal{}, circuit: c}
	for net := range w.nets.Len() {
		for _, t := range w.nets.Terminals(net) {
			if t.On >= len(r.Boards) {
				continue
			}
			for _, h := range w.nets.Hung(net) {
				item := w.nets.Item(h)
				w.pins[item] = append(w.pins[item], t)
			}
		}
	}
	return w
}

// Does is what a relay does in one state.
type Does struct {
	inputs, driven []wiring.Terminal
	missing, extra []int // valves that should open and do not, and the reverse
	amps           []ampere
}

// ampere is the current through a board or supply; rated is 0 where none is said.
type ampere struct {
	where       string
	amps, rated float64
}

// Does runs the relay. It may take long on a large one, and touches nothing
// else.
func (w *Relay) Does(s console.State) *Does {
	does := wiring.Run(w.relay, w.in, s)
	d := &Does{inputs: made(does.On), driven: made(does.Driven)}
	s.Transpose = 0 // the relay knows none
	sounding := console.NewSounding(w.in)
	sounding.Set(s)
	for v, open := range does.Open {
		switch should := sounding.Open(v); {
		case should && !open:
			d.missing = append(d.missing, v)
		case open && !should:
			d.extra = append(d.extra, v)
		}
	}
	if w.circuit != nil {
		d.amps = w.currents(does.Driven)
	}
	return d
}

// made lists the pins of a set in their order.
func made(set map[wiring.Terminal]bool) []wiring.Terminal {
	var list []wiring.Terminal
	for t, on := range set {
		if on {
			list = append(list, t)
		}
	}
	slices.SortFunc(list, func(a, b wiring.Terminal) int {
		return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.Pin, b.Pin))
	})
	return list
}

// currents are those of the boards and supplies while these pins are driven:
// cold coils, the network as a whole.
func (w *Relay) currents(driven map[wiring.Terminal]bool) []ampere {
	nets := map[int]bool{}
	for t := range driven {
		nets[w.nets.Of(t)] = true
	}
	on := make([]bool, len(w.circuit.Loads))
	for i, l := range w.circuit.Loads {
		on[i] = nets[w.nets.Of(l.Pin)] && w.circuit.Magnets[l.Magnet].Pulse == 0
	}
	flow := w.circuit.Flow(on, false)
	var list []ampere
	for i, s := range w.circuit.Supplies {
		list = append(list, ampere{"supply " + s.ID, flow.Supply[i], s.Amps})
	}
	for i, b := range w.circuit.Boards {
		if flow.Board[i] > 0 {
			list = append(list, ampere{"board " + w.relay.Boards[i].ID, flow.Board[i], b.Amps})
		}
	}
	return list
}

// wires is what the relay does, as far as it was worked out.
type wires struct {
	of   int // the version of the console that it was worked out for
	does *Does
}

// WiresAsked is the state whose wires the pane should show and does not yet,
// with the number to give WiresDo; false when there is none.
func (m *Model) WiresAsked() (s console.State, version int, asked bool) {
	if m.pane != WiresPane || m.options.Relay == nil || m.wires.does != nil && m.wires.of == m.version {
		return s, 0, false
	}
	_, s = m.console.Machine().Reference()
	s.Held = slices.DeleteFunc(s.Held, func(h console.Held) bool { return h.Keyboard >= len(m.in.Keyboards) })
	return s, m.version, true
}

// WiresDo is the answer to WiresAsked.
func (m *Model) WiresDo(version int, does *Does) { m.wires = wires{version, does} }

// wiresLines are the pins that are on, and the currents.
func (m *Model) wiresLines() []line {
	w := m.options.Relay
	if w == nil {
		return []line{{text: "no relay is given: begin with --relay FILE", ink: Dim}}
	}
	lines := []line{{text: m.pinsOfCursor(), ink: Title}}
	d := m.wires.does
	if d == nil {
		return append(lines, line{text: "working it out", ink: Dim})
	}
	if m.wires.of != m.version {
		lines[0].text += " (working it out)"
	}
	if n := len(d.missing); n > 0 {
		lines = append(lines, w.valvesLines(fmt.Sprintf("%d %s not open", n, verb(n, "valve does", "valves do")), d.missing)...)
	}
	if n := len(d.extra); n > 0 {
		lines = append(lines, w.valvesLines(fmt.Sprintf("%d %s and should not", n, verb(n, "valve opens", "valves open")), d.extra)...)
	}
	if len(d.missing)+len(d.extra) == 0 {
		lines = append(lines, line{text: "the relay opens just the valves it should", ink: On})
	}
	if m.console.Machine().Transpose() != 0 {
		lines = append(lines, line{text: "the transposer is not the relay's: the keys as they are held", ink: Dim})
	}
	lines = append(lines, w.pinLines("contacts made", d.inputs)...)
	lines = append(lines, w.pinLines("pins driven", d.driven)...)
	switch {
	case w.circuit == nil:
		lines = append(lines, line{text: "no currents: the relay file gives no supplies and magnets", ink: Dim})
	default:
		lines = append(lines, line{text: "current", ink: Title})
	}
	for _, a := range d.amps {
		text, ink := fmt.Sprintf("  %-18s %6.2f A", m.signs.text(a.where), a.amps), Plain
		if a.rated > 0 {
			text += fmt.Sprintf(" of %g", a.rated)
			ink = ifInk(a.amps > a.rated, Wrong, Plain)
		}
		lines = append(lines, line{text: text, ink: ink})
	}
	if w.circuit != nil {
		lines = append(lines, line{text: "a design check, not an inspection", ink: Dim})
	}
	return lines
}

// valvesLines names the first of some valves.
func (w *Relay) valvesLines(what string, valves []int) []line {
	const few = 3
	var names []string
	for _, v := range valves[:min(few, len(valves))] {
		rank := w.in.Ranks[w.in.RankOf(v)]
		names = append(names, fmt.Sprintf("%s:%d", rank.ID, v-rank.First+1))
	}
	if more := len(valves) - few; more > 0 {
		names = append(names, fmt.Sprintf("%d more", more))
		what += "; trundle sound names all"
	}
	return []line{{text: what, ink: Wrong}, {text: "  " + strings.Join(names, ", "), ink: Wrong}}
}
