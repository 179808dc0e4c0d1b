package fault

import (
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// rows are the mistakes that concern whole rows of the wiring, whole boards, or
// what hangs on two pins.
func (m *maker) rows() []Site {
	rows := m.r.Soldered()
	var matter []int
	for i, row := range rows {
		if m.matters(row) && len(row.Pins) == len(row.Items) {
			matter = append(matter, i)
		}
	}
	sites := []Site{{Class: "row-missing", In: Soldered, Count: len(matter),
		Items: func(i int) []wiring.Item { return rows[matter[i]].Items },
		way: func(i int) Fault {
			row := rows[matter[i]]
			return Fault{Where: m.name(row.Pins...) + " missing", Pins: row.Pins, Relay: m.soldered(slices.Delete(slices.Clone(rows), matter[i], matter[i]+1))}
		}}}
	for _, i := range matter {
		row := rows[i]
		if n := len(row.Pins); n > 1 {
			sites = append(sites, Site{Class: "pins-bridged", In: Soldered, Count: 3 * (n - 1),
				Items: func(way int) []wiring.Item { return row.Items[way/3 : way/3+2] },
				way:   func(way int) Fault { return m.bridge(row, way/3, way%3) }})
		}
	}
	for k, i := range matter {
		var plugs []int
		for _, j := range matter[k+1:] {
			if a, b := rows[i], rows[j]; m.alike(a, b) && len(a.Pins) == len(b.Pins) && len(a.Pins) > 1 && !slices.Equal(a.Items, b.Items) {
				plugs = append(plugs, j)
			}
		}
		sites = append(sites, Site{Class: "plugs-swapped", In: Soldered, Count: len(plugs),
			Items: func(way int) []wiring.Item { return slices.Concat(rows[i].Items, rows[plugs[way]].Items) },
			way: func(way int) Fault {
				a, b := rows[i], rows[plugs[way]]
				return m.exchange("plugs", places(i, a), places(plugs[way], b), a.Pins, b.Pins)
			}})
	}
	sites = append(sites, m.boards()...)
	sites = append(sites, m.things("keyboards-swapped", wiring.KeyKind), m.things("ranks-swapped", wiring.ValveKind))
	return slices.DeleteFunc(sites, func(s Site) bool { return s.Count == 0 })
}

// alike reports whether two rows hang the same sort of thing.
func (m *maker) alike(a, b wiring.Row) bool { return a.Items[0].Kind == b.Items[0].Kind }

func places(row int, of wiring.Row) []place {
	var list []place
	for k := range of.Pins {
		list = append(list, place{row, k})
	}
	return list
}

// bridge connects two neighbouring pins of a row: each has what hangs on both,
// or only the one, or only the other.
func (m *maker) bridge(row wiring.Row, i, which int) Fault {
	a, b := one(row, i), one(row, i+1)
	a.Pins, b.Pins = b.Pins, a.Pins
	rows := slices.Clone(m.r.Soldered())
	if which != 2 {
		rows = append(rows, b)
	}
	if which != 1 {
		rows = append(rows, a)
	}
	pins := []wiring.Terminal{row.Pins[i], row.Pins[i+1]}
	slices.SortFunc(pins, inOrder)
	return Fault{Where: m.name(pins...) + " bridged", Pins: pins, Relay: m.soldered(rows)}
}

// one is one place of a row.
func one(row wiring.Row, i int) wiring.Row {
	row.Pins, row.Items = []wiring.Terminal{row.Pins[i]}, []wiring.Item{row.Items[i]}
	if row.Wires = nil; len(row.Wires) > 0 {
		row.Wires = []int{row.Wires[i]}
	}
	return row
}

// exchange puts what hangs at some places on the pins of others.
func (m *maker) exchange(what string, a, b []place, pinsA, pinsB []wiring.Terminal) Fault {
	target := map[place]wiring.Terminal{}
	for k := range a {
		target[a[k]], target[b[k]] = pinsB[k], pinsA[k]
	}
	pins := slices.Concat(pinsA, pinsB)
	slices.SortFunc(pins, inOrder)
	return Fault{Where: what + " at " + m.name(pinsA...) + " and " + m.name(pinsB...) + " exchanged", Pins: pins, Relay: m.moving(Soldered, target, nil)}
}

// boards exchanges all plugs of two boards of the same sort and size.
func (m *maker) boards() []Site {
	var pairs [][2]int
	for b, other := range m.r.Boards {
		for a, board := range m.r.Boards[:b] {
			if board.Direction == other.Direction && board.Pins == other.Pins {
				pairs = append(pairs, [2]int{a, b})
			}
		}
	}
	return []Site{{Class: "boards-swapped", In: Joined, Count: len(pairs), Items: func(i int) []wiring.Item {
		var items []wiring.Item
		for _, row := range m.r.Soldered() {
			for k := range min(len(row.Pins), len(row.Items)) {
				if row.Pins[k].On == pairs[i][0] || row.Pins[k].On == pairs[i][1] {
					items = append(items, row.Items[k])
				}
			}
		}
		return items
	}, way: func(i int) Fault {
		a, b := pairs[i][0], pairs[i][1]
		r := *m.r
		r.Wired = slices.Clone(m.r.Soldered())
		for k := range r.Wired {
			r.Wired[k].Pins = crossed(r.Wired[k].Pins, a, b)
		}
		r.Joins = slices.Clone(r.Joins)
		for k := range r.Joins {
			r.Joins[k].From = crossed(r.Joins[k].From, a, b)
		}
		return Fault{Where: m.r.Boards[a].ID + " and " + m.r.Boards[b].ID + " exchanged", Relay: &r}
	}}}
}

// crossed are pins of two boards, each on the other.
func crossed(pins []wiring.Terminal, a, b int) []wiring.Terminal {
	pins = slices.Clone(pins)
	for i := range pins {
		switch pins[i].On {
		case a:
			pins[i].On = b
		case b:
			pins[i].On = a
		}
	}
	return pins
}

// things exchanges two keyboards, or two ranks, as far as both reach.
func (m *maker) things(class string, kind wiring.Kind) Site {
	var found []int
	at := map[wiring.Item]place{}
	rows := m.r.Soldered()
	for i, row := range rows {
		for k := range min(len(row.Pins), len(row.Items)) {
			if item := row.Items[k]; item.Kind == kind {
				if !slices.Contains(found, item.Index) {
					found = append(found, item.Index)
				}
				at[item] = place{i, k}
			}
		}
	}
	slices.Sort(found)
	var pairs [][2]int
	for i, a := range found {
		for _, b := range found[i+1:] {
			pairs = append(pairs, [2]int{a, b})
		}
	}
	both := func(i int) (a, b []place) {
		for item, one := range at {
			other, is := at[wiring.Item{Kind: kind, Index: pairs[i][1], Of: console.None, Note: item.Note}]
			if item.Index == pairs[i][0] && is {
				a, b = append(a, one), append(b, other)
			}
		}
		return a, b
	}
	return Site{Class: class, In: Soldered, Count: len(pairs), Items: func(i int) []wiring.Item {
		var items []wiring.Item
		a, b := both(i)
		for _, p := range slices.Concat(a, b) {
			items = append(items, rows[p.row].Items[p.at])
		}
		return items
	}, way: func(i int) Fault {
		a, b := both(i)
		target := map[place]wiring.Terminal{}
		f := Fault{}
		for k := range a {
			pinA, pinB := rows[a[k].row].Pins[a[k].at], rows[b[k].row].Pins[b[k].at]
			target[a[k]], target[b[k]] = pinB, pinA
			f.Pins = append(f.Pins, pinA, pinB)
		}
		slices.SortFunc(f.Pins, inOrder)
		_, one, _ := wiring.Item{Kind: kind, Index: pairs[i][0], Of: console.None}.Words(m.in)
		_, other, _ := wiring.Item{Kind: kind, Index: pairs[i][1], Of: console.None}.Words(m.in)
		f.Where, f.Relay = one+" and "+other+" exchanged", m.moving(Soldered, target, nil)
		return f
	}}
}
