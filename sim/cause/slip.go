package cause

import (
	"fmt"
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// slips guesses that a hand slipped in one row of the wiring, or took two rows
// for one another: the row says another thing, hangs it on other pins, or has
// ranges of unequal lengths. A row that is right in itself is broken by none of
// these, so nothing tells where it is but what the other rows leave open.
func (g *guesser) slips() {
	if g.r.Wired != nil || g.r.Derived {
		return // what was soldered is held to its plan, and a table that follows the wiring to nothing
	}
	rows := g.r.Soldered()
	lost, open := g.lost(), g.openPins()
	hung, things := map[wiring.Item]int{}, map[wiring.Item]int{} // in how many places; in how many rows
	used := map[wiring.Terminal]int{}
	for _, row := range rows {
		for at := range min(len(row.Pins), len(row.Items)) {
			hung[row.Items[at]]++
		}
		if len(row.Items) > 0 {
			things[thingOf(row)]++
		}
		for _, t := range row.Pins {
			if row.Kind != wiring.SpareKind {
				used[t]++
			}
		}
	}
	for i, row := range rows {
		if len(row.Items) == 0 || len(row.Pins) == 0 || !counts(g.in, row.Items[0]) {
			continue
		}
		if len(row.Items) != len(row.Pins) {
			g.evened(i, row)
			continue
		}
		if len(lost) > 0 && !slices.ContainsFunc(row.Items, func(item wiring.Item) bool { _, needed := g.things.number[item]; return needed && hung[item] < 2 }) {
			g.renamed(i, row, lost)
		}
		if len(lost) > 0 && row.Items[0].Note > 0 && slices.ContainsFunc(row.Items, func(item wiring.Item) bool { return hung[item] > 1 }) {
			g.renumbered(i, row, lost)
		}
		if s := g.wholeRow(i); len(s) > 2 && things[thingOf(row)] > 1 { // of one row it has been tried
			g.mixed(mix{"order-reversed", reversed(len(s))}, s)
		}
		g.elsewhere(i, row, open, used)
		g.cutShort(i, row, lost)
	}
	g.controls()
	g.windy()
}

// mayBeSlip reports whether what looks like a mistake of wires may be one of
// writing: two rows that have each other's thing, or one whose ranges are unequal.
func (m *model) mayBeSlip(s suspect) bool {
	if m.r.Wired != nil || m.r.Derived {
		return false
	}
	if s.rule == "pin-open" && slices.ContainsFunc(s.moved, func(e moved) bool { _, hangs := m.hangsAt(e.means); return hangs && e.have == nothing }) {
		return true
	}
	return s.layer == inJoins || s.rule == "pins-swapped" && m.paper().effort(s.cure) > 1 ||
		slices.ContainsFunc(m.r.Plan, func(row wiring.Row) bool {
			return len(row.Pins) != len(row.Items) && len(row.Items) > 0 && counts(m.in, row.Items[0])
		})
}

// renamed guesses that a row that says a second time what hangs elsewhere
// should say what hangs nowhere.
func (g *guesser) renamed(i int, row wiring.Row, lost []wiring.Item) {
	var seen []wiring.Item
	for _, item := range lost {
		first := row.Items[0]
		thing := item
		thing.Note = 0
		if item.Kind != first.Kind || slices.Contains(seen, thing) {
			continue
		}
		seen = append(seen, thing)
		other := row
		other.Items = slices.Clone(row.Items)
		for at := range other.Items {
			note := other.Items[at].Note
			other.Items[at] = thing
			other.Items[at].Note = note
		}
		if slices.ContainsFunc(other.Items, func(item wiring.Item) bool { return !slices.Contains(lost, item) }) {
			continue
		}
		other.Kind, _, _ = other.Items[0].Words(g.in)
		p := paper{g.in, g.r}
		g.rewritten("item-wired-twice", i, other, len(row.Pins),
			fmt.Sprintf("%s says %s a second time, and nothing says %s", pinWords(g.r, row.Pins), p.thing(row.Items), p.thing(other.Items)))
	}
}

// renumbered guesses that a row that says again what hangs elsewhere, too, begins
// as many notes higher or lower.
func (g *guesser) renumbered(i int, row wiring.Row, lost []wiring.Item) {
	for _, item := range lost {
		if !besides(item, row.Items[0]) {
			continue
		}
		for _, end := range []wiring.Item{row.Items[0], row.Items[len(row.Items)-1]} {
			by := item.Note - end.Note
			other := row
			other.Items = slices.Clone(row.Items)
			for at := range other.Items {
				other.Items[at].Note += by
			}
			if slices.ContainsFunc(other.Items, func(item wiring.Item) bool { return !slices.Contains(lost, item) && !slices.Contains(row.Items, item) }) {
				continue
			}
			rule := "run-shifted"
			if by == 12 || by == -12 {
				rule = "octave-off"
			}
			g.rewritten(rule, i, other, len(row.Pins), "")
		}
	}
}

// thingOf is what a row hangs, whatever the notes.
func thingOf(row wiring.Row) wiring.Item {
	thing := row.Items[0]
	thing.Note = 0
	return thing
}

// wholeRow is a row of the wiring as a stretch.
func (g *guesser) wholeRow(i int) stretch {
	s := make(stretch, len(g.r.Soldered()[i].Pins))
	for at := range s {
		s[at] = element{i, at}
	}
	return s
}

func reversed(n int) []int {
	to := places(n)
	slices.Reverse(to)
	return to
}

// sitsOff says by how many pins so many things sit too high.
func sitsOff(things, by int) string {
	verb, which := "sit", "high"
	if things == 1 {
		verb = "sits"
	}
	if by < 0 {
		by, which = -by, "low"
	}
	if by == 1 {
		return fmt.Sprintf("%s one pin too %s", verb, which)
	}
	return fmt.Sprintf("%s %d pins too %s", verb, by, which)
}

// evened guesses that one end of the shorter range of a row was left out.
func (g *guesser) evened(i int, row wiring.Row) {
	pins, items := len(row.Pins), len(row.Items)
	says := fmt.Sprintf("%s: %d pins for %d of %s", pinWords(g.r, row.Pins), pins, items, paper{g.in, g.r}.name(row.Items[0]))
	short := max(items-pins, pins-items)
	if short > few || min(pins, items) < 2 {
		return
	}
	for _, before := range []bool{true, false} {
		other := row
		if pins < items {
			other.Pins = goneOn(row.Pins, short, before, nextPin, func(t wiring.Terminal) bool { return t.Pin >= 1 && t.Pin <= pinsOn(g.r, t.On) })
		} else {
			other.Items = goneOn(row.Items, short, before, nextItem, func(item wiring.Item) bool { _, is := g.things.number[item]; return is })
		}
		if other.Pins == nil || other.Items == nil {
			continue
		}
		other.Wires = wiresFor(row, len(other.Pins), before)
		g.rewritten("ranges-differ", i, other, short, says)
	}
}

// nextItem is an item so many steps on from an end, as that is from the one beside.
func nextItem(end, beside wiring.Item, by int) wiring.Item {
	end.Note += by * (end.Note - beside.Note)
	return end
}

func nextPin(end, beside wiring.Terminal, by int) wiring.Terminal {
	end.Pin += by * (end.Pin - beside.Pin)
	return end
}

// goneOn is a list of at least two with so many more before it or behind, each so
// many steps on from that end as its last step; nil where one of them is not there.
func goneOn[T any](list []T, more int, before bool, step func(end, beside T, by int) T, there func(T) bool) []T {
	end, beside := list[len(list)-1], list[len(list)-2]
	if before {
		end, beside = list[0], list[1]
	}
	var added []T
	for by := 1; by <= more; by++ {
		next := step(end, beside, by)
		if !there(next) {
			return nil
		}
		added = append(added, next)
	}
	if before {
		slices.Reverse(added)
		return slices.Concat(added, list)
	}
	return slices.Concat(list, added)
}

// wiresFor are the wires of a row that is to have so many pins: its own where
// they are as many, otherwise those that go on at the same end.
func wiresFor(row wiring.Row, pins int, before bool) []int {
	wires := slices.Clone(row.Wires)
	for n := len(wires); n > 1 && len(wires) < pins; n = len(wires) {
		if first := wires[0] - (wires[1] - wires[0]); before && first > 0 {
			wires = slices.Insert(wires, 0, first)
		} else {
			wires = append(wires, wires[n-1]+wires[n-1]-wires[n-2])
		}
	}
	return wires[:min(len(wires), pins)]
}

// controls guesses that two rows have each other's control.
func (g *guesser) controls() {
	var among []element
	wrong := g.wrongRanks()
	rows := g.r.Soldered()
	for i, row := range rows {
		for at := range min(len(row.Pins), len(row.Items)) {
			item := row.Items[at]
			if item.Kind != wiring.ControlKind || !counts(g.in, item) {
				continue
			}
			control := g.in.Controls[item.Index]
			if control.Kind == console.StopControl && !slices.ContainsFunc(g.in.Stops[control.Index].Takes, func(t console.Take) bool { return wrong[t.Rank] }) {
				continue
			}
			among = append(among, element{i, at})
		}
	}
	const many = 24 // of so many all pairs are tried, of more those that differ whenever something is wrong
	var whenever word
	if len(among) > many {
		for _, w := range g.now.wrong {
			whenever |= w
		}
	}
	made := func(e element) word { return g.things.made[g.things.number[rows[e.row].Items[e.at]]] }
	for i, a := range among {
		for _, b := range among[:i] {
			if whenever&^(made(a)^made(b)) == 0 {
				g.exchanged("pins-swapped", stretch{b}, stretch{a})
			}
		}
	}
}

// wrongRanks are the ranks of which a valve is wrong.
func (g *guesser) wrongRanks() map[int]bool {
	wrong := map[int]bool{}
	for _, v := range g.wrong {
		wrong[g.in.RankOf(v)] = true
	}
	return wrong
}

// rewritten guesses that one row of the wiring should be another.
func (g *guesser) rewritten(rule string, i int, by wiring.Row, size int, says string) {
	c := g.rowFor(i, by)
	g.keep(guess{rule: rule, cure: c, row: -1, size: size, says: says}, g.changed(c))
}

// rowFor is the change that puts another row of the wiring in the place of one.
func (g *guesser) rowFor(i int, by wiring.Row) change {
	c := newChange()
	for at := range g.r.Soldered()[i].Pins {
		c.unhang[element{i, at}] = true
	}
	c.hang = []wiring.Row{by}
	return c
}

// thing names what a row hangs: key great, stop great-flute-8, action octave.
func (p paper) thing(items []wiring.Item) string {
	kind, name, note := items[0].Words(p.in)
	if len(items) == 1 && note != "" {
		name += ":" + note
	}
	return string(kind) + " " + name
}

// several names what a row hangs by its number: 61 of great.
func (p paper) several(items []wiring.Item) string {
	if len(items) == 1 {
		return p.thing(items)
	}
	return fmt.Sprintf("%d of %s", len(items), p.name(items[0]))
}

func (p paper) name(item wiring.Item) string {
	_, name, _ := item.Words(p.in)
	return name
}
