package fault

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"

	"trundle/console"
	"trundle/sim/wiring"
)

// lane is a run of pins that can be mixed up: those of one item of the wiring,
// or of one board's controls or actions, as they lie side by side; those of a
// join; or those of a switching row.
type lane struct {
	in    Table
	noted bool // the pins follow notes or valves
	at    []place
	pins  []wiring.Terminal
	hang  []wiring.Item // what hangs on each; elsewhere only its number
	name  string
	row   int // of the switching
}

func (l *lane) add(at place, pin wiring.Terminal, item wiring.Item) {
	l.at, l.pins, l.hang = append(l.at, at), append(l.pins, pin), append(l.hang, item)
}

// lanes are the mistakes that move the pins of a lane among themselves, or open some.
func (m *maker) lanes() []Site {
	all := slices.Concat(m.wiringLanes(), m.joinLanes(), m.switchLanes())
	var sites []Site
	for _, x := range mixes {
		for _, l := range all {
			n := len(l.pins)
			if n < x.least || x.noted && !l.noted || x.ways(n) == 0 {
				continue
			}
			sites = append(sites, Site{Class: x.class, In: l.in, Row: l.row, Count: x.ways(n),
				Among: l.pins,
				Items: func(i int) []wiring.Item { return m.touched(l, x.mix(n, i)) },
				Edit:  func(i int) Edit { return moving(l.moves(x.mix(n, i))) },
				name:  func(i int) (string, []wiring.Terminal) { return m.moved(l, x.mix(n, i), x.says) }})
		}
	}
	return sites
}

// touched are the items that hang on the pins that a mix moves.
func (m *maker) touched(l lane, mix []step) []wiring.Item {
	var items []wiring.Item
	for _, s := range mix {
		if l.in != Soldered {
			items = append(items, m.on(l.pins[s.from])...)
		} else {
			items = append(items, l.hang[s.from])
		}
	}
	return items
}

// on is what hangs on the net of a terminal.
func (m *maker) on(pin wiring.Terminal) []wiring.Item {
	if m.nets == nil {
		m.nets = wiring.Nets(m.r)
	}
	net := m.nets.Of(pin)
	if net < 0 {
		return nil
	}
	var items []wiring.Item
	for _, h := range m.nets.Hung(net) {
		items = append(items, m.nets.Item(h))
	}
	return items
}

// moves are the places of a lane that a mix moves, each to its new pin.
func (l lane) moves(mix []step) []Move {
	moves := make([]Move, 0, len(mix))
	for _, s := range mix {
		move := Move{l.in, l.at[s.from].row, l.at[s.from].at, nowhere}
		if s.to >= 0 {
			move.Pin = l.pins[s.to]
		}
		moves = append(moves, move)
	}
	return moves
}

// moved are the pins on which something else hangs after a mix, and what that is
// called.
func (m *maker) moved(l lane, mix []step, says string) (where string, pins []wiring.Terminal) {
	for _, s := range mix {
		if s.to >= 0 && (l.in != Soldered || l.hang[s.from] != l.hang[s.to]) {
			pins = append(pins, l.pins[s.to])
		}
		if !slices.ContainsFunc(mix, func(other step) bool { return other.to == s.from }) {
			pins = append(pins, l.pins[s.from])
		}
	}
	slices.SortFunc(pins, inOrder)
	where = m.name(pins...) + " " + says
	if l.in != Soldered {
		where = l.name + " " + where
	}
	return where, pins
}

func inOrder(a, b wiring.Terminal) int {
	return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.Pin, b.Pin))
}

func (m *maker) wiringLanes() []lane {
	lanes := map[string]*lane{}
	var order []string
	for i, row := range m.r.Soldered() {
		if !m.matters(row) {
			continue
		}
		kind := row.Items[0].Kind
		noted := kind != wiring.ControlKind && kind != wiring.ActionKind
		name := string(kind) + " " + strconv.Itoa(row.Pins[0].On)
		if noted {
			name = string(kind) + " " + row.Item
		}
		if lanes[name] == nil {
			lanes[name] = &lane{in: Soldered, noted: noted}
			order = append(order, name)
		}
		for k := range min(len(row.Pins), len(row.Items)) {
			lanes[name].add(place{i, k}, row.Pins[k], row.Items[k])
		}
	}
	var list []lane
	for _, name := range order {
		list = append(list, lanes[name].sorted())
	}
	return list
}

func (m *maker) joinLanes() []lane {
	var list []lane
	for i, j := range m.r.Joins {
		l := lane{in: Joined, noted: len(j.To) > 1, name: j.At.String()}
		for k, pin := range j.To {
			l.add(place{i, k}, pin, wiring.Item{Note: k})
		}
		list = append(list, l)
	}
	return list
}

func (m *maker) switchLanes() []lane {
	var list []lane
	for i, s := range m.r.Switch {
		if s.Kind == wiring.Couple {
			continue
		}
		l := lane{in: Switching, noted: s.Line != "", name: m.row(i), row: i}
		for k, pin := range s.Pins {
			l.add(place{i, k}, pin, wiring.Item{Note: k, Of: console.None})
		}
		list = append(list, l)
	}
	return list
}

// row is what a switching row is called: its line in the file, or its number.
func (m *maker) row(i int) string {
	if at := m.r.Switch[i].At; at.Line > 0 {
		return fmt.Sprintf("%s:%d", at.File, at.Line)
	}
	return fmt.Sprintf("row %d", i+1)
}

// sorted is a lane in the order in which its pins lie.
func (l lane) sorted() lane {
	order := make([]int, len(l.pins))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return inOrder(l.pins[a], l.pins[b]) })
	s := lane{in: l.in, noted: l.noted, name: l.name}
	for _, i := range order {
		s.add(l.at[i], l.pins[i], l.hang[i])
	}
	return s
}
