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
	Pins    []pinState `json:"pins"`    // output pins that should be driven, or are
}

// pinState is an output pin: whether a relay programmed from the wiring plan
// drives it, whether this one does, and what the plan and the solder hang on it.
type pinState struct {
	Pin      string   `json:"pin"`
	Expected bool     `json:"expected"`
	Driven   bool     `json:"driven"`
	Planned  []string `json:"planned"`
	Soldered []string `json:"soldered"`
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
	expected, got := wiring.Run(&asked, in, s).Driven, wiring.Run(r, in, s)
	missing, extra := compareValves(plain.Open(in, s), got.Open)
	state := relayState{valveNames(in, missing), valveNames(in, extra), []pinState{}}

	planned, soldered := wiring.NetsOf(r, r.Plan), wiring.Nets(r)
	both := map[wiring.Terminal]bool{}
	for _, driven := range []map[wiring.Terminal]bool{expected, got.Driven} {
		for pin, on := range driven {
			both[pin] = both[pin] || on
		}
	}
	for _, pin := range slices.SortedFunc(maps.Keys(both), byTerminal) {
		if both[pin] {
			state.Pins = append(state.Pins, pinState{
				r.Name(pin), expected[pin], got.Driven[pin], itemsAt(in, planned, pin), itemsAt(in, soldered, pin)})
		}
	}
	return state
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

// pinsAtFault is the pins of a state that are wrong.
func (s relayState) pinsAtFault() []string {
	pins := []string{}
	for _, p := range s.Pins {
		if p.wrong() {
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
	if len(s.Pins) == 0 {
		return b.String()
	}
	rows := [][]string{{"pin", "expected", "driven", "planned", "soldered", ""}}
	for _, p := range s.Pins {
		mark := ""
		if p.wrong() {
			mark = "<- wrong"
		}
		rows = append(rows, []string{p.Pin, onOff(p.Expected), onOff(p.Driven), itemsText(p.Planned), itemsText(p.Soldered), mark})
	}
	writeTable(&b, rows)
	return b.String()
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
