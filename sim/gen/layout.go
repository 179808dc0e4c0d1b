package gen

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"

	"trundle/console"
	"trundle/sim/wiring"
)

// A use is a sort of board: the letter its ids begin with, and its pins.
type use struct {
	letter    string
	direction wiring.Direction
	pins      int
}

var (
	keyPins     = use{"K", wiring.Input, 64}
	controlPins = use{"S", wiring.Input, 64}
	outputPins  = use{"X", wiring.Output, 128}
	actionPins  = use{"A", wiring.Output, 64}
)

// stripPins is how many terminals a strip has.
const stripPins = 100

// layout gives pins to what the console and the chests have.
type layout struct {
	*rand.Rand
	in    *console.Instrument
	relay *wiring.Relay
	opt   Options

	used    map[string]int // by letter of a use: 1 + its last board, as 0 is none
	filled  map[int]int    // by board: how many of its pins are given
	onStrip int            // how many terminals of the last strip are given
}

// next gives the next pin of a sort of board, on a new board when the last is full.
func (l *layout) next(u use) wiring.Terminal {
	on := l.used[u.letter] - 1
	if on < 0 || l.filled[on] == u.pins {
		on = len(l.relay.Boards)
		l.used[u.letter] = on + 1
		n := 1
		for _, b := range l.relay.Boards {
			if b.ID[:1] == u.letter {
				n++
			}
		}
		l.relay.Boards = append(l.relay.Boards, wiring.Board{ID: fmt.Sprint(u.letter, n), Direction: u.direction, Pins: u.pins})
	}
	l.filled[on]++
	return wiring.Terminal{On: on, Pin: l.filled[on]}
}

// nextOnStrip gives the next terminal of a strip. Strips count from -1
// downwards until it is known how many boards there are.
func (l *layout) nextOnStrip() wiring.Terminal {
	if len(l.relay.Strips) == 0 || l.onStrip == stripPins {
		l.relay.Strips = append(l.relay.Strips, wiring.Strip{ID: fmt.Sprint("J", 1+len(l.relay.Strips)), Pins: stripPins})
		l.onStrip = 0
	}
	l.onStrip++
	return wiring.Terminal{On: -len(l.relay.Strips), Pin: l.onStrip}
}

// perhapsTwice wires a run, and where doubled runs are asked for, some of
// them on two sets of pins.
func (l *layout) perhapsTwice(u use, items []wiring.Item) {
	if l.opt.Doubled && l.IntN(8) == 0 {
		l.twice(u, items)
	} else {
		l.run(u, "", items)
	}
}

// twice wires a run on two sets of pins, as one group.
func (l *layout) twice(u use, items []wiring.Item) {
	kind, name, _ := items[0].Words(l.in)
	group := fmt.Sprintf("two-%s-%s", kind, strings.ReplaceAll(name, "/", "-"))
	l.run(u, group, items)
	l.run(u, group, items)
}

// run wires one run of items, a row for every board or strip it touches.
func (l *layout) run(u use, group string, items []wiring.Item) {
	if l.opt.Spares && l.IntN(6) == 0 {
		for range 1 + l.IntN(3) {
			l.hang(spare(l.next(u)))
		}
	}
	items = l.ordered(items)
	pins := make([]wiring.Terminal, len(items))
	for i := range pins {
		pins[i] = l.next(u)
	}
	if l.opt.Strips && u.direction == wiring.Output && l.IntN(4) == 0 {
		terminals := make([]wiring.Terminal, len(pins))
		for i := range terminals {
			terminals[i] = l.nextOnStrip()
		}
		l.relay.Joins = append(l.relay.Joins, settleJoins([]wiring.Join{{From: pins, To: terminals}})...)
		pins = terminals
	}
	kind, name, _ := items[0].Words(l.in)
	l.hang(settle([]wiring.Row{{Pins: pins, Kind: kind, Item: name, Items: items, Group: group}})...)
}

func (l *layout) hang(rows ...wiring.Row) { l.relay.Plan = append(l.relay.Plan, rows...) }

// spare is a row of pins that nothing hangs on.
func spare(pins ...wiring.Terminal) wiring.Row {
	row := wiring.Row{Pins: pins, Kind: wiring.SpareKind}
	for range pins {
		row.Items = append(row.Items, wiring.Item{Kind: wiring.SpareKind, Index: console.None, Of: console.None})
	}
	return row
}

// ordered is the order in which a run's items follow its pins.
func (l *layout) ordered(items []wiring.Item) []wiring.Item {
	if !l.opt.Orders || len(items) < 4 {
		return items
	}
	switch l.IntN(6) {
	case 0:
		items = slices.Clone(items)
		slices.Reverse(items)
	case 1:
		var sides [2][]wiring.Item
		for i, item := range items {
			sides[i%2] = append(sides[i%2], item)
		}
		items = slices.Concat(sides[0], sides[1])
	}
	return items
}

// spareRest lists the pins that are left on the last boards as spare.
func (l *layout) spareRest() {
	for on, b := range l.relay.Boards {
		var pins []wiring.Terminal
		for pin := l.filled[on] + 1; pin <= b.Pins; pin++ {
			pins = append(pins, wiring.Terminal{On: on, Pin: pin})
		}
		if len(pins) > 0 {
			l.hang(spare(pins...))
		}
	}
}

// placeStrips counts the strips behind the boards.
func (l *layout) placeStrips() {
	place := func(list []wiring.Terminal) {
		for i := range list {
			if list[i].On < 0 {
				list[i].On = len(l.relay.Boards) - list[i].On - 1
			}
		}
	}
	for _, row := range l.relay.Plan {
		place(row.Pins)
	}
	for _, j := range l.relay.Joins {
		place(j.To)
	}
}

// cables runs a cable from every board and strip, a wire a pin.
func (l *layout) cables() {
	wires := func(pins []wiring.Terminal) (string, []int) {
		var list []int
		for _, pin := range pins {
			list = append(list, pin.Pin)
		}
		return "C" + owner(l.relay, pins[0].On), list
	}
	for i := range l.relay.Plan {
		if row := &l.relay.Plan[i]; row.Kind != wiring.SpareKind {
			row.Cable, row.Wires = wires(row.Pins)
		}
	}
	for i := range l.relay.Joins {
		l.relay.Joins[i].Cable, l.relay.Joins[i].Wires = wires(l.relay.Joins[i].From)
	}
	for _, b := range l.relay.Boards {
		l.relay.Cables = append(l.relay.Cables, wiring.Cable{ID: "C" + b.ID, Wires: b.Pins})
	}
	for _, s := range l.relay.Strips {
		l.relay.Cables = append(l.relay.Cables, wiring.Cable{ID: "C" + s.ID, Wires: s.Pins})
	}
}

// owner is the id of the board or strip that terminals name as On.
func owner(r *wiring.Relay, on int) string {
	if on < len(r.Boards) {
		return r.Boards[on].ID
	}
	return r.Strips[on-len(r.Boards)].ID
}
