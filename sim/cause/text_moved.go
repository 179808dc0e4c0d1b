package cause

import (
	"fmt"
	"slices"

	"trundle/console/finding"
	"trundle/sim/wiring"
)

// movedAt is the row in which something is moved: the first that has it.
func (m *model) movedAt(s suspect) finding.Place {
	if s.layer == inSwitching {
		for _, e := range s.moved {
			if e.input && e.row < len(m.r.Switch) {
				return m.r.Switch[e.row].At
			}
		}
		for _, row := range m.r.Switch {
			if row.Kind == wiring.Drive && slices.ContainsFunc(row.Pins, func(t wiring.Terminal) bool { return m.among(s.moved, m.rel.Nets.Of(t)) }) {
				return row.At
			}
		}
		for _, row := range s.cure.switches {
			if len(row.Pins) > 0 {
				return m.switchBeside(row)
			}
		}
		return m.r.At.Switching
	}
	if s.layer == inJoins {
		at := m.r.At.Joins
		for i, j := range m.r.Joins {
			if _, touched := kept(s.cure.unjoin, i, len(j.From)); touched {
				return j.At
			}
			at = j.At
		}
		return at // a row is to be added
	}
	for i, row := range m.r.Soldered() {
		for at := range row.Pins {
			if s.cure.unhang[element{i, at}] {
				return row.At
			}
		}
	}
	return m.rowBeside(m.hangPin(s.moved[0].net))
}

// rowBeside is where a row would stand that hangs something on a pin: at the
// row of the nearest pin before it on its board, otherwise behind it, otherwise
// at the last one of the boards before.
func (m *model) rowBeside(pin wiring.Terminal) finding.Place {
	const board, boards = 100_000, 1_000_000_000 // further than any pin, and any pin of a board
	far := func(row wiring.Row, t wiring.Terminal) int {
		switch {
		case t.On == pin.On && t.Pin < pin.Pin && row.Kind != wiring.SpareKind:
			return pin.Pin - t.Pin
		case t.On == pin.On && row.Kind != wiring.SpareKind:
			return board + t.Pin - pin.Pin
		case t.On == pin.On:
			return 2*board + max(t.Pin-pin.Pin, pin.Pin-t.Pin)
		case t.On < pin.On:
			return boards + (pin.On-t.On)*board - t.Pin
		}
		return 2*boards + (t.On-pin.On)*board + t.Pin
	}
	at, best := m.r.At.Wiring, -1
	if m.r.Wired != nil {
		at = m.r.At.Wired
	}
	for _, row := range m.r.Soldered() {
		for _, t := range row.Pins {
			if away := far(row, t); best < 0 || away < best {
				at, best = row.At, away
			}
		}
	}
	return at
}

// switchBeside is where a row would stand that reads or drives a pin: at the row
// of its kind with the nearest pin on its board, otherwise at the last of its kind.
func (m *model) switchBeside(row wiring.Switch) finding.Place {
	pin, at, best := row.Pins[0], m.r.At.Switching, 0
	const elsewhere = 100_000 // further than any pin
	for _, s := range m.r.Switch {
		if s.Kind != row.Kind || len(s.Pins) == 0 {
			continue
		}
		away := elsewhere
		if t := s.Pins[0]; t.On == pin.On {
			away = max(t.Pin-pin.Pin, pin.Pin-t.Pin)
		}
		if best == 0 || away < best || away == elsewhere && best == elsewhere {
			at, best = s.At, away
		}
	}
	return at
}

func (m *model) among(entries []moved, net int) bool {
	return slices.ContainsFunc(entries, func(e moved) bool { return e.net == net })
}

// movedPins are the pins to look at: those on which something is amiss, and of
// a pin that has too much, that on which it should be alone.
func (m *model) movedPins(entries []moved) []wiring.Terminal {
	var pins []wiring.Terminal
	add := func(net int) {
		if t, ok := m.terminal(net); ok && !slices.Contains(pins, t) {
			pins = append(pins, t)
		}
	}
	for _, e := range entries {
		add(e.net)
		if e.net < 0 { // it is read from no pin: those on which it hangs
			for net := range m.rel.Nets.Len() {
				if m.hangsOn(net, e.means) {
					add(net)
				}
			}
		}
		if e.extra {
			add(m.nearest(e.net, e.have))
		}
	}
	slices.SortFunc(pins, compareTerminals)
	return pins
}

// nearest is the net on which a thing hangs that is nearest to another one, -1
// where it hangs nowhere else.
func (m *model) nearest(net int, item wiring.Item) int {
	best, far := -1, 0
	from := m.hangPin(net)
	for other := range m.rel.Nets.Len() {
		if other == net || !m.hangsOn(other, item) {
			continue
		}
		to := m.hangPin(other)
		away := max(to.Pin-from.Pin, from.Pin-to.Pin)
		if to.On != from.On {
			away += 1000
		}
		if best < 0 || away < far {
			best, far = other, away
		}
	}
	return best
}

// movedPhrases say what each mistake has done to what hangs on pins.
var movedPhrases = map[string]string{
	"pins-swapped":      "are exchanged",
	"octave-off":        "are an octave off",
	"wires-off":         "begin in the wrong place of their cable: all are as many wires off",
	"order-reversed":    "run in the opposite order: the connector is turned round",
	"pair-exchanged":    "have both wires of every pair exchanged",
	"sides-mixed":       "mix up C side and C-sharp side with the row of the keys",
	"pins-mixed":        "have taken each other's place",
	"plugs-swapped":     "are in each other's place: plugs are exchanged",
	"boards-swapped":    "are on each other's board",
	"keyboards-swapped": "are exchanged, keyboard for keyboard",
	"ranks-swapped":     "are exchanged, rank for rank",
	"group-open":        "are open together: a plug or a feed is missing",
	"row-missing":       "are all open: their row is missing",
}

func (m *model) movedMessage(s suspect, pins []wiring.Terminal) string {
	e := s.moved[0]
	switch s.rule {
	case "pin-open":
		if e.net < 0 || s.layer == inSwitching {
			return fmt.Sprintf("%s is not read from any pin", m.word(e.some()))
		}
		if e.have == nothing {
			return fmt.Sprintf("%s is open: %s does not hang there", m.pinWords(pins), m.word(e.means))
		}
		return fmt.Sprintf("%s, where %s hangs, is connected to nothing", m.pinWords(pins), m.word(e.have))
	case "pins-bridged":
		if len(s.moved) == 2 {
			return fmt.Sprintf("%s are bridged: %s and %s act together%s", m.pinWords(pins), m.word(e.have), m.word(e.means), m.leg(s, pins))
		}
		pin, _ := m.terminal(e.net)
		return fmt.Sprintf("%s has %s too, beside %s", m.pinWords([]wiring.Terminal{pin}), m.word(e.have), m.word(e.means))
	case "pins-swapped":
		if said, is := m.matrixWires(s.moved); is {
			return fmt.Sprintf("%s: %s%s", m.pinWords(pins), said, m.leg(s, pins))
		}
		return fmt.Sprintf("%s: %s and %s are exchanged%s", m.pinWords(pins), m.word(e.have), m.word(e.means), m.leg(s, pins))
	}
	var things []wiring.Item
	for _, e := range s.moved {
		if item := e.some(); !slices.Contains(things, item) {
			things = append(things, item)
		}
	}
	phrase := movedPhrases[s.rule]
	if len(things) == 1 {
		return fmt.Sprintf("%s: %s is not where it belongs%s", m.pinWords(pins), m.word(things[0]), m.leg(s, pins))
	}
	if s.rule == "run-shifted" {
		phrase = m.shiftWords(s.moved)
	}
	return fmt.Sprintf("%s: %s %s%s", m.pinWords(pins), m.words(things), phrase, m.leg(s, pins))
}

// shiftWords say by how many pins a run sits too high or too low.
func (m *model) shiftWords(entries []moved) string {
	for _, e := range entries {
		for _, f := range entries {
			is, known := m.terminal(e.net)
			belongs, also := m.terminal(f.net)
			if !known || !also || e.have == nothing || e.have != f.means || is.On != belongs.On {
				continue
			}
			switch k := is.Pin - belongs.Pin; {
			case k == 1:
				return "sit one pin too high"
			case k == -1:
				return "sit one pin too low"
			case k > 0:
				return fmt.Sprintf("sit %d pins too high", k)
			default:
				return fmt.Sprintf("sit %d pins too low", -k)
			}
		}
	}
	return "are shifted along their pins"
}

// leg says between what the wires run that are wrong.
func (m *model) leg(s suspect, pins []wiring.Terminal) string {
	if len(pins) == 0 {
		return ""
	}
	on := func(t wiring.Terminal) string { return m.r.Board(t.On) }
	switch s.layer {
	case inJoins:
		for _, j := range m.r.Joins {
			if len(j.From) > 0 && slices.ContainsFunc(j.From, func(t wiring.Terminal) bool { return m.among(s.moved, m.rel.Nets.Of(t)) }) {
				return fmt.Sprintf(", between %s and %s", on(j.From[0]), on(j.To[0]))
			}
		}
	case inWiring:
		for i, row := range m.r.Soldered() {
			for at, t := range row.Pins {
				if s.cure.unhang[element{i, at}] {
					end := "the chest"
					if s.moved[0].input {
						end = "the console"
					}
					cable := ""
					if row.Cable != "" {
						cable = ", cable " + row.Cable
					}
					return fmt.Sprintf(", between %s and %s%s", on(t), end, cable)
				}
			}
		}
	case inSwitching:
		return ", in the switching table"
	}
	return ""
}
