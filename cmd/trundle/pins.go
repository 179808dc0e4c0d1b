package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"trundle/console"
	"trundle/console/plain"
	"trundle/sim/wiring"
)

// relayState is what a relay does in one state beside what it should.
type relayState struct {
	Missing []string   `json:"missing"` // valves that should open and do not
	Extra   []string   `json:"extra"`   // valves that open and should not
	Inputs  []pinState `json:"inputs"`  // input pins that a contact should put on, or does
	Pins    []pinState `json:"pins"`    // output pins that should be driven, or are
}

// pinState is a pin as a meter finds it: whether it is on by the plan, with a
// relay programmed from it; whether it is on as things are; what the plan and
// the solder hang on it; and where else to touch it.
type pinState struct {
	Pin      string   `json:"pin"`
	Expected bool     `json:"expected"`
	Driven   bool     `json:"driven"`
	Planned  []string `json:"planned"`
	Soldered []string `json:"soldered"`
	Joined   []string `json:"joined"` // terminals that joins connect to it
	Wires    []string `json:"wires"`  // that are soldered to it, like CX3 wire 14, pair 7, brown-white
}

// wrong reports whether the pin is driven otherwise, or leads elsewhere, than
// it should.
func (p pinState) wrong() bool {
	return p.Expected != p.Driven || !slices.Equal(p.Planned, p.Soldered)
}

// runRelay runs a relay, and the one that its wiring plan asks for, in a state.
func runRelay(in *console.Instrument, r *wiring.Relay, s console.State) relayState {
	asked := *r
	asked.Wired, asked.Switch = nil, wiring.Derive(r, in)
	expected, got := wiring.Run(&asked, in, s), wiring.Run(r, in, s)
	missing, extra := compareValves(plain.Open(in, s), got.Open)
	pins := pinStates{in, r, wiring.NetsOf(r, r.Plan), wiring.Nets(r)}
	return relayState{valveNames(in, missing), valveNames(in, extra), pins.of(expected.On, got.On), pins.of(expected.Driven, got.Driven)}
}

// pinStates tells the pins of a relay.
type pinStates struct {
	in                *console.Instrument
	relay             *wiring.Relay
	planned, soldered *wiring.Netlist
}

// of is every pin that is on as expected, or as it is.
func (p pinStates) of(expected, got map[wiring.Terminal]bool) []pinState {
	states := []pinState{}
	both := map[wiring.Terminal]bool{}
	for _, on := range []map[wiring.Terminal]bool{expected, got} {
		for pin, is := range on {
			both[pin] = both[pin] || is
		}
	}
	for _, pin := range slices.SortedFunc(maps.Keys(both), byTerminal) {
		if both[pin] {
			joined, wires := p.around(pin)
			states = append(states, pinState{p.relay.Name(pin), expected[pin], got[pin],
				itemsAt(p.in, p.planned, pin), itemsAt(p.in, p.soldered, pin), joined, wires})
		}
	}
	return states
}

// around is where else than at a pin its net can be touched.
func (p pinStates) around(pin wiring.Terminal) (joined, wires []string) {
	joined, wires = []string{}, []string{}
	net := p.soldered.Of(pin)
	if net < 0 {
		return joined, wires
	}
	for _, t := range p.soldered.Terminals(net) {
		if t != pin {
			joined = append(joined, p.relay.Name(t))
		}
	}
	for _, h := range p.soldered.Hung(net) {
		row := p.relay.Soldered()[h.Row]
		if wire := wireOf(p.relay, row.Cable, row.Wires, h.At); wire.Cable != "" {
			wires = append(wires, wire.String())
		}
	}
	return joined, wires
}

func byTerminal(a, b wiring.Terminal) int {
	if a.On != b.On {
		return a.On - b.On
	}
	return a.Pin - b.Pin
}

func compareValves(want, got []bool) (missing, extra []int) {
	for v := range want {
		switch {
		case want[v] && !got[v]:
			missing = append(missing, v)
		case got[v] && !want[v]:
			extra = append(extra, v)
		}
	}
	return missing, extra
}

// itemsAt is what hangs on a pin: valve bourdon 26.
func itemsAt(in *console.Instrument, nets *wiring.Netlist, pin wiring.Terminal) []string {
	items := []string{}
	net := nets.Of(pin)
	if net < 0 {
		return items // the pin is off its board
	}
	for _, h := range nets.Hung(net) {
		kind, item, note := nets.Item(h).Words(in)
		items = append(items, strings.TrimSpace(strings.Join([]string{string(kind), item, note}, " ")))
	}
	slices.Sort(items)
	return items
}

// pinsAtFault is the pins of a state that are wrong, of some boards only where
// any are given.
func (s relayState) pinsAtFault(boards []string) []string {
	pins := []string{}
	for _, p := range slices.Concat(s.Inputs, s.Pins) {
		board, _, _ := strings.Cut(p.Pin, ".")
		if p.wrong() && (len(boards) == 0 || slices.Contains(boards, board)) {
			pins = append(pins, p.Pin)
		}
	}
	return pins
}

// text is what the relay does, for a technician at the board.
func (s relayState) text(ink ink) string {
	var b strings.Builder
	verdict := ink.green("the relay opens just these valves")
	if len(s.Missing)+len(s.Extra) > 0 {
		var parts []string
		if len(s.Missing) > 0 {
			parts = append(parts, "does not open "+strings.Join(s.Missing, ", "))
		}
		if len(s.Extra) > 0 {
			parts = append(parts, "opens "+strings.Join(s.Extra, ", ")+" besides")
		}
		verdict = ink.red("the relay " + strings.Join(parts, " and "))
	}
	fmt.Fprintf(&b, "\n%s\n", verdict)
	writePins(&b, "contact", "on", s.Inputs)
	writePins(&b, "pin", "driven", s.Pins)
	if slices.ContainsFunc(slices.Concat(s.Inputs, s.Pins), pinState.wrong) {
		b.WriteString("\nwrong pins show a mistake; trundle check says where it lies\n")
	}
	return b.String()
}

// writePins writes expected and found side by side.
func writePins(b *strings.Builder, pin, is string, states []pinState) {
	if len(states) == 0 {
		return
	}
	rows := [][]string{{pin, "expected", is, "planned", "soldered", "by way of", ""}}
	for _, p := range states {
		mark := ""
		if p.wrong() {
			mark = "<- wrong"
		}
		rows = append(rows, []string{p.Pin, onOff(p.Expected), onOff(p.Driven), itemsText(p.Planned), itemsText(p.Soldered),
			strings.Join(slices.Concat(p.Joined, p.Wires), ", "), mark})
	}
	writeTable(b, rows)
}

func onOff(on bool) string {
	if on {
		return "on"
	}
	return "off"
}

func itemsText(items []string) string {
	if len(items) == 0 {
		return "nothing"
	}
	return strings.Join(items, " + ")
}
