package fault

import (
	"maps"
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
		Edit: func(i int) Edit {
			var moves []Move
			for at := range rows[matter[i]].Pins {
				moves = append(moves, Move{Soldered, matter[i], at, nowhere})
			}
			return moving(moves)
		},
		name: func(i int) (string, []wiring.Terminal) {
			row := rows[matter[i]]
			return m.name(row.Pins...) + " missing", row.Pins
		}}}
	for _, i := range matter {
		row := rows[i]
		if n := len(row.Pins); n > 1 {
			sites = append(sites, Site{Class: "pins-bridged", In: Soldered, Count: 3 * (n - 1), Among: row.Pins,
				Items: func(way int) []wiring.Item { return row.Items[way/3 : way/3+2] },
				Edit:  func(way int) Edit { return bridge(row, way/3, way%3) },
				name: func(way int) (string, []wiring.Terminal) {
					pins := slices.Clone(row.Pins[way/3 : way/3+2])
					slices.SortFunc(pins, inOrder)
					return m.name(pins...) + " bridged", pins
				}})
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
			Edit:  func(way int) Edit { return m.exchange(places(i, rows[i]), places(plugs[way], rows[plugs[way]])) },
			name: func(way int) (string, []wiring.Terminal) {
				a, b := rows[i].Pins, rows[plugs[way]].Pins
				pins := slices.Concat(a, b)
				slices.SortFunc(pins, inOrder)
				return "plugs at " + m.name(a...) + " and " + m.name(b...) + " exchanged", pins
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
func bridge(row wiring.Row, i, which int) Edit {
	a, b := one(row, i), one(row, i+1)
	a.Pins, b.Pins = b.Pins, a.Pins
	e := Edit{Row: console.None}
	if which != 2 {
		e.Hung = append(e.Hung, b)
	}
	if which != 1 {
		e.Hung = append(e.Hung, a)
	}
	return e
}

// one is one place of a row.
func one(row wiring.Row, i int) wiring.Row {
	row.Pins, row.Items = row.Pins[i:i+1:i+1], row.Items[i:i+1:i+1]
	if i < len(row.Wires) {
		row.Wires = row.Wires[i : i+1 : i+1]
	}
	return row
}

// exchange puts what hangs at some places of the wiring on the pins of others.
func (m *maker) exchange(a, b []place) Edit {
	rows := m.r.Soldered()
	var moves []Move
	for k := range a {
		moves = append(moves, Move{Soldered, a[k].row, a[k].at, rows[b[k].row].Pins[b[k].at]}, Move{Soldered, b[k].row, b[k].at, rows[a[k].row].Pins[a[k].at]})
	}
	return moving(moves)
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
		for _, board := range pairs[i] {
			for pin := 1; pin <= m.r.Boards[board].Pins; pin++ {
				items = append(items, m.on(wiring.Terminal{On: board, Pin: pin})...)
			}
		}
		return items
	}, Edit: func(i int) Edit { return Edit{Row: console.None, Boards: pairs[i][:]} },
		name: func(i int) (string, []wiring.Terminal) {
			return m.r.Boards[pairs[i][0]].ID + " and " + m.r.Boards[pairs[i][1]].ID + " exchanged", nil
		}}}
}

// things exchanges two keyboards, or two ranks, as far as both reach.
func (m *maker) things(class string, kind wiring.Kind) Site {
	rows := m.r.Soldered()
	at := map[wiring.Item]place{} // the last, where one hangs on several pins
	items := map[int][]wiring.Item{}
	for i, row := range rows {
		for k := range min(len(row.Pins), len(row.Items)) {
			if item := row.Items[k]; item.Kind == kind {
				if _, twice := at[item]; !twice {
					items[item.Index] = append(items[item.Index], item)
				}
				at[item] = place{i, k}
			}
		}
	}
	found := slices.Sorted(maps.Keys(items))
	var pairs [][2]int
	for i, a := range found {
		for _, b := range found[i+1:] {
			pairs = append(pairs, [2]int{a, b})
		}
	}
	both := func(i int) (a, b []place) {
		for _, item := range items[pairs[i][0]] {
			if other, is := at[wiring.Item{Kind: kind, Index: pairs[i][1], Of: console.None, Note: item.Note}]; is {
				a, b = append(a, at[item]), append(b, other)
			}
		}
		return a, b
	}
	return Site{Class: class, In: Soldered, Count: len(pairs), Items: func(i int) []wiring.Item {
		var list []wiring.Item
		a, b := both(i)
		for _, p := range slices.Concat(a, b) {
			list = append(list, rows[p.row].Items[p.at])
		}
		return list
	}, Edit: func(i int) Edit { return m.exchange(both(i)) },
		name: func(i int) (string, []wiring.Terminal) {
			var pins []wiring.Terminal
			a, b := both(i)
			for _, p := range slices.Concat(a, b) {
				pins = append(pins, rows[p.row].Pins[p.at])
			}
			slices.SortFunc(pins, inOrder)
			_, one, _ := wiring.Item{Kind: kind, Index: pairs[i][0], Of: console.None}.Words(m.in)
			_, other, _ := wiring.Item{Kind: kind, Index: pairs[i][1], Of: console.None}.Words(m.in)
			return one + " and " + other + " exchanged", pins
		}}
}
