// Package partial cuts a relay down to what hangs on some of its boards, so
// that an organ can be checked while the rest of it is not wired yet.
package partial

import (
	"slices"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/wiring"
)

// Cut is a relay of which only some boards count.
type Cut struct {
	// Relay is what hangs on these boards as it was soldered, all else as it was
	// planned; outputs that hang on other boards are driven as they should be, by
	// rows and pins of their own.
	Relay   *wiring.Relay
	LeftOut []int // valves of which nothing hangs on these boards, ascending

	whole  *wiring.Relay
	nets   *wiring.Netlist
	here   map[int]bool // by board: it counts
	listed map[wiring.Item]bool
	rows   []wiring.Row
	in     *console.Instrument
}

// To cuts a relay to the boards of these indices.
func To(in *console.Instrument, r *wiring.Relay, boards []int) *Cut {
	c := &Cut{whole: r, nets: wiring.Nets(r), here: map[int]bool{}, in: in}
	for _, b := range boards {
		c.here[b] = true
	}
	planned, soldered := c.on(r.Plan), c.on(r.Soldered())
	c.listed = planned
	c.rows = c.effective()

	var contacts, others []wiring.Item
	out := map[wiring.Item]bool{}
	for _, item := range wiring.Needed(in) {
		switch {
		case item.Given():
			contacts = append(contacts, item)
		case !planned[item] && !soldered[item]:
			others = append(others, item)
			out[item] = true
		}
	}
	c.LeftOut = valvesOf(in, out)
	c.Relay = c.driveRightly(contacts, others, out)
	return c
}

// action is an item as Needed has it: the coils of an action are the action.
func action(i wiring.Item) wiring.Item {
	if i.Kind == wiring.ActionOnKind || i.Kind == wiring.ActionOffKind {
		i.Kind = wiring.ActionKind
	}
	return i
}

// counts reports whether a terminal leads to a board that counts.
func (c *Cut) counts(t wiring.Terminal) bool {
	net := c.nets.Of(t)
	if net < 0 {
		return c.here[t.On]
	}
	return slices.ContainsFunc(c.nets.Terminals(net), func(t wiring.Terminal) bool { return c.here[t.On] })
}

// on is the items that rows hang on boards that count.
func (c *Cut) on(rows []wiring.Row) map[wiring.Item]bool {
	items := map[wiring.Item]bool{}
	for _, row := range rows {
		for at := range min(len(row.Pins), len(row.Items)) {
			if c.counts(row.Pins[at]) {
				items[action(row.Items[at])] = true
			}
		}
	}
	return items
}

// effective is the wiring as soldered on the boards that count, and as planned
// on the others.
func (c *Cut) effective() []wiring.Row {
	if c.whole.Wired == nil {
		return c.whole.Plan
	}
	return append(
		wiring.Without(c.whole.Wired, func(row, at int) bool { return !c.counts(c.whole.Wired[row].Pins[at]) }),
		wiring.Without(c.whole.Plan, func(row, at int) bool { return c.counts(c.whole.Plan[row].Pins[at]) })...)
}

// driveRightly hangs contacts once more, and the outputs that do not count
// only, on pins where a derived table drives them as the instrument asks.
func (c *Cut) driveRightly(contacts, others []wiring.Item, out map[wiring.Item]bool) *wiring.Relay {
	counting := func(rows []wiring.Row) []wiring.Row {
		return wiring.Without(rows, func(row, at int) bool { return out[action(rows[row].Items[at])] })
	}
	cut := *c.whole
	cut.Plan, cut.Wired, cut.Derived = counting(c.rows), nil, false
	hung := cut.WithHung(append(contacts, others...))
	right := *hung
	right.Plan = hung.Plan[len(cut.Plan):]
	if c.whole.Wired != nil {
		hung.Plan, hung.Wired = append(counting(c.whole.Plan), right.Plan...), hung.Plan
	}
	hung.Switch = slices.Clone(hung.Switch)
	for _, row := range wiring.Derive(&right, c.in) {
		const apart = "as it should be: " // no name of a table has a blank
		if row.Line != "" {
			row.Line = apart + row.Line
		}
		if row.To != "" {
			row.To = apart + row.To
		}
		row.Control = slices.Clone(row.Control)
		for i := range row.Control {
			row.Control[i].Label = apart + row.Control[i].Label
		}
		hung.Switch = append(hung.Switch, row)
	}
	return hung
}

// valvesOf is the valves that open by no other items than these.
func valvesOf(in *console.Instrument, out map[wiring.Item]bool) (valves []int) {
	for r, rank := range in.Ranks {
		for _, stand := range rank.Stands {
			chest := in.Chests[stand.Chest]
			for v := stand.From; v <= stand.To; v++ {
				left := out[wiring.Item{Kind: wiring.ValveKind, Index: r, Of: console.None, Note: v}]
				if chest.HasNoteLines() {
					left = !slices.ContainsFunc(chest.Plays, func(d int) bool {
						line := wiring.Item{Kind: wiring.NoteKind, Index: stand.Chest, Of: wiring.NoteOf(chest, d), Note: int(rank.Note(v))}
						act := wiring.Item{Kind: wiring.ActionKind, Index: r, Of: wiring.ActionOf(in, r, d)}
						return in.Divisions[d].Notes.Has(rank.Note(v)) && (!out[line] || !out[act])
					})
				}
				if left {
					valves = append(valves, rank.Valve(v))
				}
			}
		}
	}
	slices.Sort(valves)
	return valves
}

const notWired = "item-not-wired"

// Findings is those of a check of the whole relay that concern the boards that
// count, and how many others there are but notes. What the plan hangs on other
// boards, or nowhere yet, is not missing.
func (c *Cut) Findings(found []finding.Finding) (kept []finding.Finding, others int) {
	kept = c.missing()
	for _, f := range found {
		switch {
		case f.Rule == notWired:
		case c.concerns(f):
			kept = append(kept, f)
		case f.Rule != "pin-unlisted" && f.Severity != finding.Note:
			others++
		}
	}
	return kept, others
}

// missing is what the plan hangs on boards that count and the solder nowhere.
func (c *Cut) missing() []finding.Finding {
	var elsewhere []wiring.Item
	for _, item := range wiring.Every(c.in) {
		if !c.listed[action(item)] {
			elsewhere = append(elsewhere, item)
		}
	}
	rest := *c.whole
	rest.Plan, rest.Wired = c.rows, nil
	all := rest.WithHung(elsewhere)
	var found []finding.Finding
	for _, lack := range wiring.Lacks(all, c.in) {
		lack.Rule = notWired
		found = append(found, lack.Finding)
	}
	return found
}

// concerns reports whether a finding stands at a board that counts, at a row
// that leads to one, or at neither a board nor a row.
func (c *Cut) concerns(f finding.Finding) bool {
	for i, b := range c.whole.Boards {
		if b.At == f.Place {
			return c.here[i]
		}
	}
	at := func(p finding.Place) bool { return p.File == f.File && p.Line == f.Line }
	ours, theirs := false, false
	see := func(pins []wiring.Terminal) {
		if slices.ContainsFunc(pins, c.counts) {
			ours = true
		} else if len(pins) > 0 {
			theirs = true
		}
	}
	if f.Line == 0 {
		return true
	}
	for _, row := range slices.Concat(c.whole.Plan, c.whole.Wired) {
		if at(row.At) {
			see(row.Pins)
		}
	}
	for _, j := range c.whole.Joins {
		if at(j.At) {
			see(j.From)
			see(j.To)
		}
	}
	for _, s := range c.whole.Switch {
		if at(s.At) {
			see(s.Pins)
		}
	}
	return ours || !theirs
}
