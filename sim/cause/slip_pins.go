package cause

import (
	"fmt"
	"maps"
	"slices"

	"trundle/sim/wiring"
)

// elsewhere guesses that a row belongs on other pins, of which some lack what the
// table uses them for, and the others have nothing either. What it leaves is then
// of no use to the table, or has something else.
func (g *guesser) elsewhere(i int, row wiring.Row, open map[wiring.Terminal]bool, used map[wiring.Terminal]int) {
	own := map[wiring.Terminal]bool{}
	twice := false
	for _, t := range row.Pins {
		own[t] = true
		twice = twice || used[t] > 1
	}
	needed := func(t wiring.Terminal) bool {
		net := g.w.nets.Of(t)
		return net >= 0 && used[t] < 2 && g.inTable[net]
	}
	first := row.Pins[0]
	tried := map[wiring.Terminal]bool{}
	for _, t := range slices.SortedFunc(maps.Keys(open), compareTerminals) {
		for _, comes := range row.Pins { // the place of the row that comes onto the open pin
			start := wiring.Terminal{On: t.On, Pin: t.Pin - comes.Pin + first.Pin}
			if start == first || tried[start] {
				continue
			}
			tried[start] = true
			other := row
			other.Pins = from(row.Pins, start)
			if slices.ContainsFunc(other.Pins, func(to wiring.Terminal) bool { return !g.bare(g.w.nets.Of(to)) && (!own[to] || used[to] > 1) }) ||
				slices.ContainsFunc(row.Pins, func(t wiring.Terminal) bool { return needed(t) && !slices.Contains(other.Pins, t) }) {
				continue
			}
			rule, says := "run-shifted", ""
			if by := start.Pin - first.Pin; twice || t.On != first.On {
				rule = "pin-used-twice"
				if !twice {
					rule = "pins-mixed"
				}
				says = fmt.Sprintf("%s belongs on %s, which has nothing, and is on %s", paper{g.in, g.r}.several(row.Items), pinWords(g.r, other.Pins), pinWords(g.r, row.Pins))
				if start.Pin == first.Pin {
					says = fmt.Sprintf("%s is written where %s is meant: nothing is on %s", g.r.Board(first.On), g.withCable(i, other), pinWords(g.r, other.Pins))
				}
			} else {
				says = fmt.Sprintf("%s: %s %s", pinWords(g.r, row.Pins), paper{g.in, g.r}.several(row.Items), sitsOff(len(row.Pins), -by))
			}
			g.rewritten(rule, i, other, len(row.Pins), says)
		}
	}
}

// openPins are the pins that the table reads or drives and on which nothing
// hangs that a proof looks at, nor anything else but what is spare.
func (g *guesser) openPins() map[wiring.Terminal]bool {
	open := map[wiring.Terminal]bool{}
	g.inTable = make([]bool, g.w.nets.Len())
	for _, s := range g.rows {
		for _, net := range s.nets {
			if net < 0 || g.inTable[net] {
				continue
			}
			g.inTable[net] = true
			if all := g.w.nets.Terminals(net); g.bare(net) {
				open[all[len(all)-1]] = true
			}
		}
	}
	return open
}

// bare reports whether a net is there on which nothing hangs but what is spare.
func (g *guesser) bare(net int) bool {
	return net >= 0 && !slices.ContainsFunc(g.w.nets.Hung(net), func(h wiring.Hung) bool { return g.w.nets.Item(h).Kind != wiring.SpareKind })
}

// withCable names the board that row i should be on, with the cable of the row
// where that is the board's.
func (g *guesser) withCable(i int, other wiring.Row) string {
	on := other.Pins[0].On
	cured := paper{g.in, with(g.r, g.rowFor(i, other))}
	cable, _, known := cured.cableOfBoard(on)
	its := known && cable == other.Cable || slices.ContainsFunc(g.r.Soldered(), func(row wiring.Row) bool {
		return row.Cable == other.Cable && len(row.Pins) > 0 && row.Pins[0].On == on
	})
	if other.Cable == "" || !its {
		return g.r.Board(on)
	}
	return fmt.Sprintf("%s (cable %s)", g.r.Board(on), other.Cable)
}

// cutShort guesses that a row should go on: what would follow hangs nowhere, and
// the pins that would follow have nothing.
func (g *guesser) cutShort(i int, row wiring.Row, lost []wiring.Item) {
	if len(row.Items) < 2 {
		return
	}
	for _, before := range []bool{true, false} {
		most := row
		for by := 1; ; by++ {
			items := goneOn(row.Items, by, before, nextItem, func(item wiring.Item) bool { return slices.Contains(lost, item) })
			pins := goneOn(row.Pins, by, before, nextPin, func(t wiring.Terminal) bool { return g.bare(g.w.nets.Of(t)) })
			if items == nil || pins == nil {
				break
			}
			most.Items, most.Pins = items, pins
		}
		added, ends := len(most.Pins)-len(row.Pins), "stops short"
		if added == 0 {
			continue
		}
		items, pins := most.Items[len(row.Items):], most.Pins[len(row.Pins):]
		if before {
			items, pins, ends = most.Items[:added], most.Pins[:added], "begins late"
		}
		verb := "hang"
		if added == 1 {
			verb = "hangs"
		}
		most.Wires = wiresFor(row, len(most.Pins), before)
		g.rewritten("item-not-wired", i, most, added,
			fmt.Sprintf("the row of %s %s: %s %s nowhere, and nothing is on %s", pinWords(g.r, row.Pins), ends, paper{g.in, g.r}.several(items), verb, pinWords(g.r, pins)))
	}
}
