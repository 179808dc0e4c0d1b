package circuit

import (
	"slices"
	"strings"

	"trundle/console/finding"
	"trundle/sim/wiring"
)

// margin is the share of a supply's volts that an input is to see beyond its
// threshold. Common practice, no source.
const margin = 0.1

// inputs finds boards whose inputs are left too little to read a contact as
// closed, by the diode and the wires before them: of boards alike the worst
// input.
func (k *checker) inputs() {
	type alike struct {
		supply          int
		threshold, drop float64
	}
	least, worst, boards := map[alike]float64{}, map[alike]Input{}, map[alike][]string{}
	var order []alike
	for b, board := range k.c.Boards {
		sources := k.c.suppliesOf(b)
		if k.relay.Boards[b].Direction != wiring.Input || board.Threshold == 0 || len(sources) == 0 {
			continue
		}
		full := k.c.Supplies[sources[0]].Full
		seen, at := k.c.sees(b, full)
		if at == None || seen >= board.Threshold+margin*full {
			continue
		}
		group := alike{sources[0], board.Threshold, board.Drop}
		if boards[group] == nil {
			order = append(order, group)
		}
		boards[group] = append(boards[group], k.relay.Boards[b].ID)
		if len(boards[group]) == 1 || seen < least[group] {
			least[group], worst[group] = seen, k.c.Inputs[at]
		}
	}
	for _, group := range order {
		supply, seen := k.c.Supplies[group.supply], least[group]
		severity, less := finding.Error, ""
		if seen >= group.threshold {
			severity, less = finding.Warning, ": a margin of less than a tenth"
		}
		if len(boards[group]) > 1 {
			less += "; the worst of " + strings.Join(boards[group], ", ")
		}
		k.add(InputLow, severity, worst[group].At, "take diodes that lose less, thicker wires or a higher supply",
			"%s is left %.2f V of the %g V of supply %s, and reads as on from %g V; the diode takes %.2f V and the wires %.2f V%s",
			k.relay.Name(worst[group].Pin), seen, supply.Full, supply.ID, group.threshold, group.drop, max(0, supply.Full-group.drop-seen), less)
	}
}

// sees is what is left at the worst input of a board, with as many contacts
// closed as are fed together, and which input that is; None where the board has
// none. Through the feed, the contact, its diode and its wire runs the current
// of the input's own ohms; where these are not said, none.
func (c *Circuit) sees(board int, volts float64) (least float64, at int) {
	b := c.Boards[board]
	at = None
	var draws []float64 // siemens, by input
	for i, input := range c.Inputs {
		if input.Board != board {
			continue
		}
		line := c.legOhms(input.Legs)
		if b.Ohms > 0 {
			draws = append(draws, 1/(line+b.Ohms))
		}
		if at == None || line > c.legOhms(c.Inputs[at].Legs) {
			at = i
		}
	}
	least = max(0, volts-b.Drop)
	if at == None || b.Ohms == 0 {
		return least, at
	}
	slices.Sort(draws)
	if b.Columns > 0 {
		draws = draws[max(0, len(draws)-b.Columns):]
	}
	sum := 0.0
	for _, siemens := range draws {
		sum += siemens
	}
	least /= 1 + b.Feed.Ohms(c.Settings.WiresAt)*sum
	return least * b.Ohms / (b.Ohms + c.legOhms(c.Inputs[at].Legs)), at
}
