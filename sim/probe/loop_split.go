package probe

import (
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// withPlug is an instrument and relays in which valves are what leads through a
// plug, and nothing else: so that what tells relays apart is there.
func withPlug(in *console.Instrument, loop Loop, relays ...*wiring.Relay) (*console.Instrument, []*wiring.Relay) {
	c := *in
	c.Chests = append(slices.Clip(in.Chests), console.Chest{ID: "plug", Kind: console.Unit})
	c.Ranks = append(slices.Clip(in.Ranks), console.Rank{ID: "plug", Pipes: len(loop), First: in.Valves, Stands: []console.Stand{{Chest: len(in.Chests), From: 1, To: len(loop)}}})
	c.Valves += len(loop)
	var list []*wiring.Relay
	for _, r := range relays {
		list = append(list, loop.in(r, len(in.Ranks)))
	}
	return &c, list
}

// in is a relay whose outputs are those of a loop, as valves of a rank, and whose
// inputs are those that a console has while the plug is in.
func (l Loop) in(r *wiring.Relay, rank int) *wiring.Relay {
	taken, far := l.taken(), map[wiring.Item]int{}
	c := *unjoined(r, taken)
	c.Wired = []wiring.Row{}
	valve := func(i int) wiring.Item {
		return wiring.Item{Kind: wiring.ValveKind, Index: rank, Of: console.None, Note: i + 1}
	}
	for i, p := range l {
		if p.FarOutput {
			far[p.Hangs] = i
			continue
		}
		c.Wired = append(c.Wired, wiring.Row{Pins: []wiring.Terminal{p.Output}, Items: []wiring.Item{valve(i)}})
	}
	for _, row := range r.Soldered() {
		var pins []wiring.Terminal
		var items []wiring.Item
		for at := range min(len(row.Pins), len(row.Items)) {
			item := row.Items[at]
			switch i, is := far[item]; {
			case taken[row.Pins[at]]:
				continue
			case is:
				item = valve(i)
			case !item.Given(), item.Kind != wiring.ControlKind && l.Has(item.Index):
				continue
			}
			pins, items = append(pins, row.Pins[at]), append(items, item)
		}
		c.Wired = append(c.Wired, wiring.Row{Pins: pins, Items: items})
	}
	return &c
}
