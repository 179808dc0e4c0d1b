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

// place is a place in a row of a table.
type place struct{ row, at int }

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
				Items: func(i int) []wiring.Item { return m.moved(l, x.mix(n, i)) },
				way:   func(i int) Fault { return m.move(l, x.mix(n, i), x.says) }})
		}
	}
	return sites
}

// mixes are the ways of mixing up a lane of n pins: the pin that what hangs on
// each moves to, -1 for none.
var mixes = []struct {
	class string
	least int
	noted bool
	ways  func(n int) int
	mix   func(n, i int) []int
	says  string
}{
	{"pins-swapped", 2, false, func(n int) int { return n * (n - 1) / 2 }, func(n, i int) []int {
		a := 0
		for ; i >= n-1-a; a++ {
			i -= n - 1 - a
		}
		to := straight(n)
		to[a], to[a+1+i] = a+1+i, a
		return to
	}, "exchanged"},
	{"run-shifted", 2, false, func(int) int { return 4 }, func(n, i int) []int {
		by, to := []int{1, -1, 2, -2}[i], straight(n)
		for k := range to {
			if to[k] = k + by; to[k] < 0 || to[k] >= n {
				to[k] = -1
			}
		}
		return to
	}, "shifted"},
	{"octave-off", 4, true, func(n int) int { return n/min(12, n/2) - 1 }, func(n, i int) []int {
		width, to := min(12, n/2), straight(n)
		for k := i * width; k < (i+1)*width; k++ {
			to[k], to[k+width] = k+width, k
		}
		return to
	}, "an octave off"},
	{"wires-off", 3, false, func(n int) int { return len(widths(n-1, 25, 50)) }, func(n, i int) []int {
		by, to := widths(n-1, 25, 50)[i], straight(n)
		for k := range to {
			to[k] = (k + by) % n
		}
		return to
	}, "so many wires off"},
	{"order-reversed", 2, false, once, func(n, _ int) []int {
		to := straight(n)
		slices.Reverse(to)
		return to
	}, "in the opposite order"},
	{"pair-exchanged", 2, false, once, func(n, _ int) []int {
		to := straight(n)
		for k := 0; k+1 < n; k += 2 {
			to[k], to[k+1] = k+1, k
		}
		return to
	}, "the wires of every pair exchanged"},
	{"sides-mixed", 3, true, once, func(n, _ int) []int {
		to := straight(n)
		for k := range to {
			to[k] = k/2 + k%2*((n+1)/2)
		}
		return to
	}, "C side before C-sharp side"},
	{"pin-open", 1, false, func(n int) int { return n }, func(n, i int) []int {
		to := straight(n)
		to[i] = -1
		return to
	}, "open"},
	{"group-open", 2, false, func(n int) int {
		ways := 0
		for _, w := range widths(n-1, 12, 16, 25, 32) {
			ways += n - w + 1
		}
		return ways
	}, func(n, i int) []int {
		to := straight(n)
		for _, w := range widths(n-1, 12, 16, 25, 32) {
			if i <= n-w {
				for k := i; k < i+w; k++ {
					to[k] = -1
				}
				break
			}
			i -= n - w + 1
		}
		return to
	}, "open"},
}

func once(int) int { return 1 }

func straight(n int) []int {
	to := make([]int, n)
	for i := range to {
		to[i] = i
	}
	return to
}

// widths are those of some widths that a lane has, half of it when it has none.
func widths(most int, some ...int) []int {
	some = slices.DeleteFunc(some, func(w int) bool { return w > most })
	if len(some) == 0 {
		return []int{max(1, most/2)}
	}
	return some
}

// moved are the items that hang on the pins that a mix moves.
func (m *maker) moved(l lane, to []int) []wiring.Item {
	var items []wiring.Item
	for k, t := range to {
		switch {
		case t == k:
		case l.in != Soldered:
			items = append(items, m.on(l.pins[k])...)
		case t < 0 || l.hang[t] != l.hang[k]:
			items = append(items, l.hang[k])
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

// move takes what hangs on each pin of a lane to another.
func (m *maker) move(l lane, to []int, says string) Fault {
	f := Fault{}
	target := map[place]wiring.Terminal{}
	gone := map[place]bool{}
	for k, t := range to {
		if t == k || t >= 0 && l.in == Soldered && l.hang[t] == l.hang[k] {
			continue // the same hangs there before and after
		}
		f.Pins = append(f.Pins, l.pins[k])
		if t < 0 {
			gone[l.at[k]] = true
		} else {
			target[l.at[k]] = l.pins[t]
		}
	}
	slices.SortFunc(f.Pins, inOrder)
	f.Where = m.name(f.Pins...) + " " + says
	if l.in != Soldered {
		f.Where = l.name + " " + f.Where
	}
	f.Relay = m.moving(l.in, target, gone)
	return f
}

func inOrder(a, b wiring.Terminal) int {
	return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.Pin, b.Pin))
}

// moving is the relay with some places of a table on other pins, or on none. It
// shares the rows that nothing moves in.
func (m *maker) moving(in Table, target map[place]wiring.Terminal, gone map[place]bool) *wiring.Relay {
	pins := func(row int, list []wiring.Terminal) []wiring.Terminal {
		var moved []wiring.Terminal
		for at, pin := range list {
			if to, moves := target[place{row, at}]; moves {
				pin = to
			}
			if !gone[place{row, at}] {
				moved = append(moved, pin)
			}
		}
		return moved
	}
	touched := map[int]bool{}
	for at := range target {
		touched[at.row] = true
	}
	for at := range gone {
		touched[at.row] = true
	}
	switch in {
	case Soldered:
		rows := slices.Clone(m.r.Soldered())
		for i := range touched {
			row := &rows[i]
			row.Items, row.Wires, row.Pins = kept(row.Items, i, gone), kept(row.Wires, i, gone), pins(i, row.Pins)
		}
		return m.soldered(rows)
	case Joined:
		r := *m.r
		r.Joins = slices.Clone(r.Joins)
		for i := range touched {
			j := &r.Joins[i]
			j.From, j.Wires, j.To = kept(j.From, i, gone), kept(j.Wires, i, gone), pins(i, j.To)
		}
		return &r
	}
	rows := slices.Clone(m.r.Switch)
	for i := range touched {
		s := &rows[i]
		s.Notes, s.Pins = kept(s.Notes, i, gone), pins(i, s.Pins)
	}
	return m.switched(slices.DeleteFunc(rows, func(s wiring.Switch) bool { return s.Len() == 0 }))
}

// kept is a list of a row less the places that are gone.
func kept[T any](list []T, row int, gone map[place]bool) []T {
	if list == nil {
		return nil
	}
	var left []T
	for at, t := range list {
		if !gone[place{row, at}] {
			left = append(left, t)
		}
	}
	return left
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
	order := straight(len(l.pins))
	slices.SortStableFunc(order, func(a, b int) int { return inOrder(l.pins[a], l.pins[b]) })
	s := lane{in: l.in, noted: l.noted, name: l.name}
	for _, i := range order {
		s.add(l.at[i], l.pins[i], l.hang[i])
	}
	return s
}
