package circuit

import (
	"fmt"
	"math"
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
	all := map[alike][]int{}
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
		boards[group], all[group] = append(boards[group], k.relay.Boards[b].ID), append(all[group], b)
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
		k.add(InputLow, severity, worst[group].At, "",
			"%s is left %.2f V of the %g V of supply %s, and reads as on from %g V; the diode takes %.2f V and the wires %.2f V%s",
			k.relay.Name(worst[group].Pin), seen, supply.Full, supply.ID, group.threshold, group.drop, max(0, supply.Full-group.drop-seen), less)
		k.mendInput(all[group], group.supply, seen, group.threshold, group.drop)
	}
}

// mendInput says what mends boards that are alike, of which the worst input sees
// so many volts.
func (k *checker) mendInput(boards []int, supply int, seen, threshold, drop float64) {
	full := k.c.Supplies[supply].Full
	share := seen / (full - drop) // of what the diode leaves, the part that reaches the input
	ids, cables := make([]string, len(boards)), []Part{}
	for i, b := range boards {
		ids[i] = k.relay.Boards[b].ID
		for _, input := range k.c.Inputs {
			for _, leg := range input.Legs {
				if p := (Part{"cable", leg.Cable}); input.Board == b && !slices.Contains(cables, p) {
					cables = append(cables, p)
				}
			}
		}
	}
	on := strings.Join(ids, ", ")
	try := func(words string, change func(*Circuit)) func(int) string {
		return func(at int) string {
			if !k.cures(at, change) {
				return ""
			}
			return words
		}
	}
	each := func(set func(*Board)) func(*Circuit) {
		return func(c *Circuit) {
			for _, b := range boards {
				set(&c.Boards[b])
			}
		}
	}
	most := math.Floor(100*(full-(threshold+margin*full)/share)) / 100 // volts that the diode may take
	ways := []func(int) string{k.thicker(cables...)}
	if most >= 0 && most < drop {
		ways = append([]func(int) string{try(fmt.Sprintf("take diodes that lose no more than %g V for %s (drop: %g)", most, on, most), each(func(b *Board) { b.Drop = most }))}, ways...)
	}
	if volts := math.Ceil(10*(threshold+drop*share)/(share-margin)) / 10; share > margin && !slices.ContainsFunc(k.c.Loads, func(l Load) bool { return k.c.share(supply, l) > 0 }) {
		ways = append(ways, try(fmt.Sprintf("where the boards bear it, a supply %s of %g V (volts: %g)", k.c.Supplies[supply].ID, volts, volts),
			func(c *Circuit) {
				c.Supplies[supply].Full, c.Supplies[supply].Idle = volts, max(volts, c.Supplies[supply].Idle)
			}))
	}
	if reads := math.Floor(100*(seen-margin*full)) / 100; reads > 0 {
		ways = append(ways, try(fmt.Sprintf("boards for %s that read as on from %g V (threshold: %g)", on, reads, reads), each(func(b *Board) { b.Threshold = reads })))
	}
	k.mend("no diode, wire or board mends it alone: take a higher supply, and boards for it", ways...)
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
