package listen

import (
	"slices"
	"strings"

	"trundle/sim/fault"
	"trundle/sim/wiring"
)

// Leg is where a mistake is to be looked for: the rows of the wiring or of the
// joins, with their cables and wires; empty for one in the relay's own table.
func (l *Listener) Leg(c Cause) string {
	e := c.site.Edit(c.way)
	var list []string
	add := func(at, cable string, wires []int) {
		text := at
		if cable != "" {
			text += " cable " + cable
			if len(wires) > 0 {
				text += " wire " + wiring.FormatNumbers(wires)
			}
		}
		if text != "" && !slices.Contains(list, text) {
			list = append(list, text)
		}
	}
	rows := map[fault.Table][]int{}
	for _, m := range e.Moved {
		if !slices.Contains(rows[m.In], m.Row) {
			rows[m.In] = append(rows[m.In], m.Row)
		}
	}
	wires := func(table fault.Table, row int, all []int) (some []int) {
		for _, m := range e.Moved {
			if m.In == table && m.Row == row && m.At < len(all) {
				some = append(some, all[m.At])
			}
		}
		return some
	}
	for _, row := range rows[fault.Soldered] {
		r := l.r.Soldered()[row]
		add(r.At.String(), r.Cable, wires(fault.Soldered, row, r.Wires))
	}
	for _, row := range rows[fault.Joined] {
		j := l.r.Joins[row]
		add(j.At.String(), j.Cable, wires(fault.Joined, row, j.Wires))
	}
	for _, r := range slices.Concat(e.Hung, e.Stuck) {
		add(r.At.String(), r.Cable, r.Wires)
	}
	return strings.Join(list, ", ")
}

// Mend is what to do about a class of mistakes, where they are found.
func Mend(f fault.Fault) string {
	if f.In == fault.Switching {
		if len(f.Pins) > 0 {
			return "set the pins of that row of the relay's table as the design has them"
		}
		return "set that row of the relay's table as the design has it"
	}
	switch f.Class {
	case "key-stuck", "stop-stuck":
		return "free it: contact, wire, or an input that has found a supply"
	case "output-stuck":
		return "part it from its supply: output, wire, solder; or free the valve, when it is held open"
	case "pins-swapped":
		return "exchange the two wires"
	case "pin-open":
		return "close it: solder joint, wire, contact"
	case "pins-bridged":
		return "part them: solder, whisker, strand"
	case "group-open", "row-missing":
		return "connect it: plug, cable, common"
	case "plugs-swapped", "boards-swapped":
		return "exchange the plugs"
	case "keyboards-swapped", "ranks-swapped":
		return "exchange the cables"
	case "order-reversed":
		return "turn the run around"
	case "sides-mixed", "pair-exchanged":
		return "solder the run in the order of the schedule"
	}
	return "move the run to the pins of the schedule"
}
