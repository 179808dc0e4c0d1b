package main

import (
	"fmt"
	"slices"
	"strings"

	"trundle/cmd/trundle/paper"
	"trundle/sim/wiring"
)

// cableEnds is a cable with what its two ends are at: pins, and what hangs on
// them or the pins that they are joined to.
type cableEnds struct {
	id    string
	near  []wiring.Terminal
	far   []wiring.Terminal
	kinds []string
	items map[string][]string // by kind
	wires map[int]bool        // in use
}

// cableTags are two tags a cable, one for each end: which it is, where this end
// is, where the other.
func cableTags(relay *wiring.Relay) []paper.Tag {
	var tags []paper.Tag
	for _, c := range cablesOf(relay) {
		near, far := "at "+pinRuns(relay, c.near), "at "+pinRuns(relay, c.far)
		if len(c.far) == 0 {
			far = c.hangs()
		}
		what := c.says(relay)
		tags = append(tags, paper.Tag{c.id, "this end: " + near, "other end: " + far, what},
			paper.Tag{c.id, "this end: " + far, "other end: " + near, what})
	}
	return tags
}

// cablesOf are the cables that rows and joins name, in the order of these.
func cablesOf(relay *wiring.Relay) []*cableEnds {
	var list []*cableEnds
	find := func(id string, wires []int) *cableEnds {
		i := slices.IndexFunc(list, func(c *cableEnds) bool { return c.id == id })
		if i < 0 {
			i, list = len(list), append(list, &cableEnds{id: id, items: map[string][]string{}, wires: map[int]bool{}})
		}
		for _, w := range wires {
			list[i].wires[w] = true
		}
		return list[i]
	}
	for _, row := range relay.Soldered() {
		if row.Cable == "" {
			continue
		}
		c := find(row.Cable, row.Wires)
		c.near = append(c.near, row.Pins...)
		kind := string(row.Kind)
		c.kinds = distinct(append(c.kinds, kind))
		c.items[kind] = append(c.items[kind], row.Item)
	}
	for _, j := range relay.Joins {
		if j.Cable == "" {
			continue
		}
		c := find(j.Cable, j.Wires)
		c.near, c.far = append(c.near, j.From...), append(c.far, j.To...)
	}
	return list
}

// hangs is what hangs on a cable: note great; 9 stops, great-bourdon-16 to
// great-trumpet-8.
func (c *cableEnds) hangs() string {
	var parts []string
	for _, kind := range c.kinds {
		switch items := distinct(c.items[kind]); len(items) {
		case 0:
			parts = append(parts, kind)
		case 1, 2, 3:
			parts = append(parts, kind+" "+strings.Join(items, ", "))
		default:
			parts = append(parts, fmt.Sprintf("%d %s, %s to %s", len(items), kind, items[0], items[len(items)-1]))
		}
	}
	return strings.Join(parts, "; ")
}

// says is how many wires a cable has, and by which code.
func (c *cableEnds) says(relay *wiring.Relay) string {
	for _, cable := range relay.Cables {
		if cable.ID == c.id && cable.Wires > 0 {
			text := fmt.Sprintf("%d of %s used", len(c.wires), count(cable.Wires, "wire"))
			if cable.Code != "" {
				text += ", code " + cable.Code
			}
			return text
		}
	}
	return count(len(c.wires), "wire") + " used"
}

// pinRuns is pins by board or strip: X1.1..61.
func pinRuns(relay *wiring.Relay, pins []wiring.Terminal) string {
	var order []int
	numbers := map[int][]int{}
	for _, t := range pins {
		if numbers[t.On] == nil {
			order = append(order, t.On)
		}
		if !slices.Contains(numbers[t.On], t.Pin) {
			numbers[t.On] = append(numbers[t.On], t.Pin)
		}
	}
	var parts []string
	for _, on := range order {
		slices.Sort(numbers[on])
		parts = append(parts, relay.Board(on)+"."+wiring.FormatNumbers(numbers[on]))
	}
	return strings.Join(parts, ", ")
}
