package circuit

import (
	"fmt"
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
		k.add(PinOver, finding.Error, first.At, "drive it by two pins or by a relay, or take magnets of more ohms",
			"%s carries %.3f A of its %.3f A%s", k.relay.Name(first.Pin), amps[first.Pin], group.limit, more)
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
			k.add(WireOver, severity(sure), cable.At, "take thicker wires, or two for each pin",
				"%s of %s, %v, carries %.2f A of %.2f A (%s)", wire, k.relay.Cables[leg.Cable].ID, cable.Gauge, amps, limit, source)
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
			k.add(WireOver, severity(sure), board.Feed.At, "take a smaller fuse or a thicker feed",
				"the feed of %s, %v, may carry %.2f A (%s), and its fuse lets %.2f A through", k.relay.Boards[i].ID, board.Feed.Gauge, limit*float64(board.Feed.Count), source, fuse.Amps)
		}
	}
}

func severity(sure bool) finding.Severity {
	if sure {
		return finding.Error
	}
	return finding.Warning
}
