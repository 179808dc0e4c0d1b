package main

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"trundle/cmd/trundle/paper"
	"trundle/sim/wiring"
)

// shown is the relay with the rows and joins that lead to the boards that count.
func (c *checked) shown() *wiring.Relay {
	if c.relay == nil || len(c.boards) == 0 {
		return c.relay
	}
	nets := wiring.Nets(c.relay)
	here := func(t wiring.Terminal) bool { return slices.Contains(c.boards, c.relay.Board(t.On)) }
	leads := func(t wiring.Terminal) bool {
		net := nets.Of(t)
		return here(t) || net >= 0 && slices.ContainsFunc(nets.Terminals(net), here)
	}
	elsewhere := func(row wiring.Row) bool { return !slices.ContainsFunc(row.Pins, leads) }
	r := *c.relay
	r.Plan = slices.DeleteFunc(slices.Clone(r.Plan), elsewhere)
	r.Wired = slices.DeleteFunc(slices.Clone(r.Wired), elsewhere)
	r.Joins = slices.DeleteFunc(slices.Clone(r.Joins), func(j wiring.Join) bool { return !slices.ContainsFunc(j.From, leads) })
	return &r
}

// wiringSections are the boards and strips, the pins of each on a page of its
// own, and tags for cables.
func wiringSections(relay *wiring.Relay, a sheetAnswer) []paper.Section {
	order, pins := pinsByBoard(relay, a.Pins)
	overview := paper.Table{Name: "boards", Caption: "Boards and strips", Head: []string{"board", "is", "pins", "wired", "spare", "carries", "cables"}}
	sections := []paper.Section{{ID: "wiring", Title: "Wiring", Text: []string{"As soldered; each board and strip has a page of its own. Pins, wires and valves count from 1; pair p of a cable is wires 2p-1 and 2p."}}}
	for i, on := range order {
		t := paper.Table{Name: "pins-" + on, Head: []string{"pin", "kind", "item", "note", "cable", "wire", "pair", "colour", "group"}, Colour: 8}
		spare := 0
		var cables, kinds []string
		for _, p := range pins[on] {
			wire, pair := "", ""
			if p.Wire > 0 {
				wire, pair = strconv.Itoa(p.Wire), strconv.Itoa((p.Wire+1)/2)
			}
			if p.Kind == string(wiring.SpareKind) {
				spare++
			} else {
				kinds = append(kinds, p.Kind)
			}
			cables = append(cables, p.Cable)
			t.Rows = append(t.Rows, []string{p.Pin, p.Kind, p.Item, p.Note, p.Cable, wire, pair, p.Colour, p.Group})
		}
		is, size := boardIs(relay, on)
		t.Caption = fmt.Sprintf("%s: %d wired, %d spare", on, len(t.Rows)-spare, spare)
		overview.Rows = append(overview.Rows, []string{on, is, strconv.Itoa(size), strconv.Itoa(len(t.Rows) - spare), strconv.Itoa(spare), tally(kinds), strings.Join(distinct(cables), ", ")})
		sections = append(sections, paper.Section{ID: "pins-" + strings.ToLower(on) + "-" + strconv.Itoa(i), Title: boardTitle(relay, on), Inside: true, Break: true, Parts: []paper.Part{tablePart(t)}})
	}
	sections[0].Parts = []paper.Part{tablePart(overview)}
	if joins := joinTable(relay); len(joins.Rows) > 0 {
		sections = append(sections, paper.Section{ID: "joins", Title: "Joins", Inside: true, Break: true, Parts: []paper.Part{tablePart(joins)}})
	}
	if tags := cableTags(relay); len(tags) > 0 {
		sections = append(sections, paper.Section{ID: "tags", Title: "Tags for the ends of cables", Break: true,
			Text: []string{"A row for each cable, a tag for each of its ends; cut along the lines."}, Parts: []paper.Part{{Tags: tags}}})
	}
	return sections
}

// pinsByBoard is the pins of each board and strip, in the order of both, with
// those that nothing but a join leads to.
func pinsByBoard(relay *wiring.Relay, wired []pinPaper) (order []string, pins map[string][]pinPaper) {
	pins = map[string][]pinPaper{}
	listed := map[string]bool{}
	add := func(p pinPaper) {
		on, _, _ := strings.Cut(p.Pin, ".")
		if pins[on] == nil {
			order = append(order, on)
		}
		pins[on] = append(pins[on], p)
		listed[p.Pin] = true
	}
	for _, p := range wired {
		add(p)
	}
	for _, j := range relay.Joins {
		for i := range min(len(j.From), len(j.To)) {
			wire := 0
			if i < len(j.Wires) {
				wire = j.Wires[i]
			}
			for _, ends := range [][2]wiring.Terminal{{j.From[i], j.To[i]}, {j.To[i], j.From[i]}} {
				if at := relay.Name(ends[0]); !listed[at] {
					add(pinPaper{Pin: at, Kind: "join", Item: relay.Name(ends[1]), Cable: j.Cable, Wire: wire, Colour: relay.WireColour(j.Cable, wire)})
				}
			}
		}
	}
	slices.SortStableFunc(order, func(a, b string) int { return cmp.Compare(place(relay, a), place(relay, b)) })
	for _, list := range pins {
		slices.SortStableFunc(list, func(a, b pinPaper) int { return cmp.Compare(pinNumber(a.Pin), pinNumber(b.Pin)) })
	}
	return order, pins
}

// place is where a board or strip stands in the file, boards first.
func place(relay *wiring.Relay, id string) int {
	if b := slices.IndexFunc(relay.Boards, func(b wiring.Board) bool { return b.ID == id }); b >= 0 {
		return b
	}
	return len(relay.Boards) + slices.IndexFunc(relay.Strips, func(s wiring.Strip) bool { return s.ID == id })
}

// pinNumber is the number behind the board of a pin.
func pinNumber(pin string) int {
	_, text, _ := strings.Cut(pin, ".")
	n, _ := strconv.Atoi(text) // the program wrote it
	return n
}

// distinct is a list without what is empty or was there before.
func distinct(list []string) []string {
	var once []string
	for _, s := range list {
		if s != "" && !slices.Contains(once, s) {
			once = append(once, s)
		}
	}
	return once
}

// tally counts the words of a list: 61 note, 3 action.
func tally(list []string) string {
	counts := map[string]int{}
	for _, s := range list {
		counts[s]++
	}
	var parts []string
	for _, s := range distinct(list) {
		parts = append(parts, fmt.Sprintf("%d %s", counts[s], s))
	}
	return strings.Join(parts, ", ")
}

// boardIs is what a board or strip is, and how many pins it has.
func boardIs(relay *wiring.Relay, id string) (is string, pins int) {
	for _, b := range relay.Boards {
		if b.ID == id {
			return string(b.Direction), b.Pins
		}
	}
	for _, s := range relay.Strips {
		if s.ID == id {
			pins = s.Pins
		}
	}
	return "strip", pins
}

func boardTitle(relay *wiring.Relay, id string) string {
	for _, b := range relay.Boards {
		if b.ID == id {
			return fmt.Sprintf("%s, %s, %s", id, b.Direction, count(b.Pins, "pin"))
		}
	}
	return id + ", terminal strip"
}

func joinTable(relay *wiring.Relay) paper.Table {
	t := paper.Table{Name: "joins", Caption: "What cables join", Head: []string{"from", "to", "cable", "wire", "colour"}, Colour: 5}
	for _, j := range relay.Joins {
		for i := range min(len(j.From), len(j.To)) {
			wire, colour := "", ""
			if i < len(j.Wires) {
				wire, colour = strconv.Itoa(j.Wires[i]), relay.WireColour(j.Cable, j.Wires[i])
			}
			t.Rows = append(t.Rows, []string{relay.Name(j.From[i]), relay.Name(j.To[i]), j.Cable, wire, colour})
		}
	}
	return t
}
