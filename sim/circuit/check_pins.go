package circuit

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"trundle/console/finding"
	"trundle/sim/wiring"
)

// pins finds pins, and the wires behind them, that carry more than they may.
// Pins that are over with the same magnets are one finding, and so are the wires
// of one cable. What a pin carries too much is not said again of its wires.
func (k *checker) pins() {
	type alike struct {
		magnet, loads int
		limit         float64
	}
	amps, loads := map[wiring.Terminal]float64{}, map[wiring.Terminal][]int{}
	for i, l := range k.c.Loads {
		amps[l.Pin] += k.s.nominal[i]
		loads[l.Pin] = append(loads[l.Pin], i)
	}
	over := map[alike][]int{} // the first load of each pin
	var groups []alike
	for i, l := range k.c.Loads {
		limit := k.c.Boards[l.Board].PinAmps
		if limit == 0 || amps[l.Pin] <= limit {
			k.wires(i)
			continue
		}
		if i != loads[l.Pin][0] {
			continue
		}
		group := alike{l.Magnet, len(loads[l.Pin]), limit}
		if over[group] == nil {
			groups = append(groups, group)
		}
		over[group] = append(over[group], i)
	}
	for _, group := range groups {
		first, more := k.c.Loads[over[group][0]], ""
		if n := len(over[group]) - 1; n > 0 {
			var boards []string
			for _, i := range over[group] {
				if id := k.relay.Boards[k.c.Loads[i].Board].ID; !slices.Contains(boards, id) {
					boards = append(boards, id)
				}
			}
			more = fmt.Sprintf(", and so does every pin with %s, %d more on %s", k.c.Magnets[group.magnet].ID, n, strings.Join(boards, ", "))
		}
		k.add(PinOver, finding.Error, first.At, "",
			"%s carries %.3f A of its %.3f A%s", k.relay.Name(first.Pin), amps[first.Pin], group.limit, more)
		times, on := k.tooMuch(over[group], amps), []int{}
		most := 0.0
		for _, i := range over[group] {
			on, most = append(on, loads[k.c.Loads[i].Pin]...), max(most, amps[k.c.Loads[i].Pin])
		}
		k.mend("drive each by a relay of its own", k.moreOhms(on, times), k.strongerPins(over[group], most))
		for _, i := range over[group] {
			k.heavy[k.c.Loads[i].Pin] = len(k.found)
		}
	}
}

// wires finds the wires on the way of a load that carry more than they may.
func (k *checker) wires(i int) {
	for _, leg := range k.c.Loads[i].Legs {
		cable := k.c.Cables[leg.Cable]
		if !cable.Gauge.Known() || k.hot[leg.Cable] {
			continue
		}
		amps := k.s.wireAmps(i, leg)
		if limit, source, sure := cable.Gauge.ampacity(); amps > limit {
			k.hot[leg.Cable] = true
			wire := "a wire"
			if leg.Wire > 0 {
				wire = fmt.Sprintf("wire %d", leg.Wire)
			}
			k.add(WireOver, severity(sure), cable.At, "",
				"%s of %s, %v, carries %.2f A of %.2f A (%s)", wire, k.relay.Cables[leg.Cable].ID, cable.Gauge, amps, limit, source)
			k.mend("no wire of a cable carries it: share what hangs on the pin among several pins", k.thicker(Part{"cable", leg.Cable}))
		}
	}
}

// feeds finds feeds that their fuse lets carry more than they may.
func (k *checker) feeds() {
	for i, board := range k.c.Boards {
		if board.Fuse == None || !board.Feed.Gauge.Known() {
			continue
		}
		limit, source, sure := board.Feed.Gauge.ampacity()
		if fuse := k.c.Fuses[board.Fuse]; fuse.Amps > limit*float64(board.Feed.Count) {
			k.add(WireOver, severity(sure), board.Feed.At, "",
				"the feed of %s, %v, may carry %.2f A (%s), and its fuse lets %.2f A through", k.relay.Boards[i].ID, board.Feed.Gauge, limit*float64(board.Feed.Count), source, fuse.Amps)
			k.mend(fmt.Sprintf("fuse it at %g A or less; its magnets take more, so share them among several boards", limit*float64(board.Feed.Count)),
				k.thicker(Part{"feed", i}), k.smaller(limit*float64(board.Feed.Count), board.Fuse))
		}
	}
}

// tooMuch is how many times more than it may any pin carries, of those of some
// loads, or a wire or a place where they alone are.
func (k *checker) tooMuch(first []int, amps map[wiring.Terminal]float64) float64 {
	most, pins := 0.0, map[wiring.Terminal]bool{}
	for _, i := range first {
		l := k.c.Loads[i]
		pins[l.Pin] = true
		most = max(most, amps[l.Pin]/k.c.Boards[l.Board].PinAmps)
		for _, leg := range l.Legs {
			if g := k.c.Cables[leg.Cable].Gauge; g.Known() {
				limit, _, _ := g.ampacity()
				most = max(most, k.s.wireAmps(i, leg)/limit)
			}
		}
	}
	for _, line := range k.rep.Lines {
		if line.Rated > line.Pulses && !slices.ContainsFunc(line.members, func(i int) bool { return !pins[k.c.Loads[i].Pin] }) {
			most = max(most, line.Chord.Bound/(line.Rated-line.Pulses))
		}
	}
	return most
}

// strongerPins is the way to take boards whose pins carry so many amps.
func (k *checker) strongerPins(loads []int, amps float64) func(at int) string {
	return func(at int) string {
		amps := math.Ceil(100*amps-slack) / 100
		var boards []string
		cures := k.cures(at, func(c *Circuit) {
			for _, i := range loads {
				b := c.Loads[i].Board
				c.Boards[b].PinAmps = max(c.Boards[b].PinAmps, amps)
				if id := k.relay.Boards[b].ID; !slices.Contains(boards, id) {
					boards = append(boards, id)
				}
			}
		})
		if !cures {
			return ""
		}
		return fmt.Sprintf("take boards that carry %g A on each pin for %s (amps-per-pin: %g)", amps, strings.Join(boards, ", "), amps)
	}
}

func severity(sure bool) finding.Severity {
	if sure {
		return finding.Error
	}
	return finding.Warning
}
