package certificate

import (
	"trundle/console"
	"trundle/sim/wiring"
)

// drive is the nets that output pins drive.
func (b *bench) drive() {
	ways := map[int][]lit{}
	var order []int
	for _, row := range b.Switch {
		if row.Kind != wiring.Drive {
			continue
		}
		when := b.holds(row)
		for i := range row.Len() {
			net := b.nets.Of(row.Pins[i])
			if net < 0 || b.Boards[row.Pins[i].On].Direction != wiring.Output {
				continue
			}
			on := when
			if row.Line != "" {
				on = b.and(when, b.lines[b.points[point{row.Line, row.Notes[i]}]])
			}
			if _, known := ways[net]; !known {
				order = append(order, net)
			}
			ways[net] = append(ways[net], on)
		}
	}
	b.driven = map[int]lit{}
	for _, net := range order {
		b.driven[net] = b.or(ways[net]...)
	}
}

// items is what hangs on driven nets.
func (b *bench) items() map[wiring.Item]lit {
	ways := map[wiring.Item][]lit{}
	var order []wiring.Item
	for net := range b.nets.Len() {
		driven, any := b.driven[net]
		if !any {
			continue
		}
		for _, h := range b.nets.Hung(net) {
			item := b.nets.Item(h)
			if _, known := ways[item]; !known {
				order = append(order, item)
			}
			ways[item] = append(ways[item], driven)
		}
	}
	on := map[wiring.Item]lit{}
	for _, item := range order {
		on[item] = b.or(ways[item]...)
	}
	return on
}

// valves opens a valve on a unit chest when its magnet is driven, elsewhere
// when its note line and its rank's action are.
func (b *bench) valves(driven map[wiring.Item]lit) []lit {
	is := func(kind wiring.Kind, index, of, note int) lit {
		if l, wired := driven[wiring.Item{Kind: kind, Index: index, Of: of, Note: note}]; wired {
			return l
		}
		return no
	}
	open := make([]lit, b.in.Valves)
	for r, rank := range b.in.Ranks {
		for _, stand := range rank.Stands {
			chest := b.in.Chests[stand.Chest]
			for v := stand.From; v <= stand.To; v++ {
				if !chest.HasNoteLines() {
					open[rank.Valve(v)] = is(wiring.ValveKind, r, console.None, v)
					continue
				}
				var ways []lit
				for _, division := range chest.Plays {
					line := is(wiring.NoteKind, stand.Chest, wiring.NoteOf(chest, division), int(rank.Note(v)))
					of := wiring.ActionOf(b.in, r, division)
					acts := b.or(is(wiring.ActionKind, r, of, 0),
						b.and(is(wiring.ActionOnKind, r, of, 0), -is(wiring.ActionOffKind, r, of, 0)))
					ways = append(ways, b.and(line, acts))
				}
				open[rank.Valve(v)] = b.or(ways...)
			}
		}
	}
	return open
}

// named lists the pins of boards that have a literal.
func (b *bench) named() []pin {
	var pins []pin
	for on, board := range b.Boards {
		of := b.pins
		if board.Direction == wiring.Output {
			of = b.driven
		}
		for number := 1; number <= board.Pins; number++ {
			t := wiring.Terminal{On: on, Pin: number}
			if l, used := of[b.nets.Of(t)]; used {
				pins = append(pins, pin{b.Name(t), l})
			}
		}
	}
	return pins
}
