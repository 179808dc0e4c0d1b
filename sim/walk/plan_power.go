package walk

import (
	"fmt"
	"slices"
	"strings"

	"trundle/sim/circuit"
	"trundle/sim/wiring"
)

// legs rings out every wire with the power off, cable by cable, then what is in
// no cable, board by board.
func (p *planner) legs() {
	if p.r == nil {
		return
	}
	var list []Step
	times := map[string]int{} // that an id came
	add := func(cable string, wires []int, at int, ends string, pin wiring.Terminal, items []wiring.Item) {
		wire, group := "", "no cable, "+p.r.Board(pin.On)
		if cable != "" {
			wire, group = cable, "cable "+cable
			if at < len(wires) {
				wire = fmt.Sprintf("%s wire %d", cable, wires[at])
				if colour := p.r.WireColour(cable, wires[at]); colour != "" {
					wire += ", " + colour
				}
			}
		}
		do := ends
		if wire != "" {
			do = wire + ": " + ends
		}
		id := strings.TrimSpace("leg " + p.r.Name(pin) + " " + wire)
		if times[id]++; times[id] > 1 {
			id = fmt.Sprintf("%s (%d)", id, times[id])
		}
		list = append(list, Step{ID: id, Phase: Legs, Group: group, Do: do, Expect: through, Items: items, Pins: []wiring.Terminal{pin}})
	}
	for _, j := range p.r.Joins {
		for i := range min(len(j.From), len(j.To)) {
			add(j.Cable, j.Wires, i, p.r.Name(j.From[i])+" to "+p.r.Name(j.To[i]), j.From[i], nil)
		}
	}
	for _, row := range p.r.Soldered() {
		if row.Kind == wiring.BlowerKind || row.Kind == wiring.SpareKind {
			continue // the one is mains' business, the other leads nowhere
		}
		for i := range min(len(row.Pins), len(row.Items)) {
			add(row.Cable, row.Wires, i, p.r.Name(row.Pins[i])+" to "+p.words(row.Items[i]), row.Pins[i], nil)
		}
	}
	place := map[string]int{}
	for _, s := range list {
		if _, known := place[s.Group]; !known {
			place[s.Group] = len(place)
		}
	}
	for i, c := range p.r.Cables {
		place["cable "+c.ID] = i - len(p.r.Cables) // in the order of the file, before the rest
	}
	slices.SortStableFunc(list, func(a, b Step) int { return place[a.Group] - place[b.Group] })
	for _, s := range list {
		p.add(s)
	}
}

// supplies measures each supply without load.
func (p *planner) supplies() {
	if p.c == nil {
		return
	}
	for _, s := range p.c.Supplies {
		expect := "its volts without load, the right way round"
		if s.Idle > 0 {
			expect = fmt.Sprintf("%.1f V, the right way round", s.Idle)
		}
		p.add(Step{ID: "supply " + s.ID, Phase: Supplies, Group: "supplies", Do: "all fuses out: measure supply " + s.ID, Expect: expect, Volts: s.Idle})
	}
}

// fuses puts one fuse in at a time, with nothing on.
func (p *planner) fuses() {
	if p.c == nil {
		return
	}
	for _, up := range p.c.PowerUps() {
		name, boards := "", []string{}
		for _, b := range up.Boards {
			boards = append(boards, p.r.Boards[b].ID)
		}
		if name = "the boards without a fuse"; up.Fuse != circuit.None {
			name = "fuse " + p.c.Fuses[up.Fuse].ID
		}
		p.add(Step{ID: "fuse " + strings.Join(boards, " "), Phase: Fuses, Group: "fuses",
			Do:     fmt.Sprintf("only %s in, nothing on: measure its amps (%s)", name, strings.Join(boards, ", ")),
			Expect: "what the electronics take, and no amps of magnets",
			Pins:   []wiring.Terminal{{On: up.Boards[0], Pin: 1}}})
	}
}
