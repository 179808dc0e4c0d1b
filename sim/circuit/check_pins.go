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
// of one cable.
func (k *checker) pins() {
	type alike struct {
		magnet, loads int
		limit         float64
	}
	amps, loads := map[wiring.Terminal]float64{}, map[wiring.Terminal]int{}
	var order []int
	for i, l := range k.c.Loads {
		if loads[l.Pin] == 0 {
			order = append(order, i)
		}
		amps[l.Pin] += k.s.nominal[i]
		loads[l.Pin]++
	}
	over := map[alike][]int{}
	var groups []alike
	for _, i := range order {
		l := k.c.Loads[i]
		if limit := k.c.Boards[l.Board].PinAmps; limit > 0 && amps[l.Pin] > limit {
			group := alike{l.Magnet, loads[l.Pin], limit}
			if over[group] == nil {
				groups = append(groups, group)
			}
			over[group] = append(over[group], i)
			continue
		}
		for _, leg := range l.Legs {
			cable := k.c.Cables[leg.Cable]
			if !cable.Gauge.Known() || k.hot[leg.Cable] {
				continue
			}
			if limit, source, sure := cable.Gauge.ampacity(); amps[l.Pin] > limit {
				k.hot[leg.Cable] = true
				k.add(WireOver, severity(sure), cable.At, "take thicker wires, or two for each pin",
					"wire %d of %s, %v, carries %.2f A of %.2f A (%s)", leg.Wire, k.relay.Cables[leg.Cable].ID, cable.Gauge, amps[l.Pin], limit, source)
			}
		}
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
