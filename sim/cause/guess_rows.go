package cause

import (
	"maps"
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// atRows guesses at each row of the switching by itself: that it asks the wrong
// controls, leads wrongly, picks wrongly or should not be there. Only rows are
// looked at that make something wrong by passing something, or would mend
// something by passing more.
func (g *guesser) atRows() {
	g.want = g.wanted()
	for i, s := range g.r.Switch {
		off := g.switched(i)
		var on outcome
		if s.Kind != wiring.Read && len(s.Control) > 0 {
			free := s
			free.Control = nil
			on = g.switched(i, free)
		}
		g.idle = s.Kind == wiring.Couple && off.fresh == 0 && !slices.ContainsFunc(off.left, func(w word) bool { return w != 0 })
		if off.gone == 0 && on.gone == 0 {
			if s.Kind == wiring.Couple && !g.want.isProper(s) {
				g.astray(i, s)
			}
			continue
		}
		if s.Kind == wiring.Couple {
			rule := "row-extra"
			if g.missingRule(s) == "wrong-carries" {
				rule = "wrong-carries"
			}
			g.keep(guess{rule: rule, cure: replaced(i, s), row: i, size: 2}, off)
		}
		g.asking(i, s)
		if s.Kind == wiring.Couple {
			g.leading(i, s)
		}
		if s.Kind != wiring.Couple {
			g.pinned(i, s)
			g.shiftedRow(i, s)
		}
	}
}

// replaced is the change that puts other rows in the place of one.
func replaced(i int, s wiring.Switch, rows ...wiring.Switch) change {
	c := newChange()
	for at := range s.Len() {
		c.unswitch[element{i, at}] = true
	}
	c.switches = rows
	return c
}

// instead guesses that a row should be another, one of so many it could be. A
// row that is as it should be is not suspected first, nor is it first said
// what a row should be that had better not be there.
func (g *guesser) instead(rule string, odds, i int, s wiring.Switch) {
	g.insteadSo(rule, odds, i, s, g.switched(i, s))
}

// insteadSo is such a guess of which the outcome is known.
func (g *guesser) insteadSo(rule string, odds, i int, s wiring.Switch, o outcome) {
	if !o.helps() {
		return
	}
	size := 1
	if g.want.isProper(g.r.Switch[i]) || g.idle && !g.want.isProper(s) {
		size = 3
	}
	g.keep(guess{rule: rule, cure: replaced(i, g.r.Switch[i], s), row: i, size: size, odds: odds}, o)
}

// asking guesses at the controls of a row. A row that couples or drives does the
// same under two controls that hold in the same states.
func (g *guesser) asking(i int, s wiring.Switch) {
	known := map[word]outcome{}
	instead := func(rule string, odds int, control []wiring.Literal) {
		other := s
		other.Control = control
		if s.Kind == wiring.Read {
			g.instead(rule, odds, i, other)
			return
		}
		while := g.now.holds(&step{control: control})
		o, tried := known[while]
		if !tried {
			o = g.switched(i, other)
			known[while] = o
		}
		g.insteadSo(rule, odds, i, other, o)
	}
	for k, l := range s.Control {
		for _, label := range g.labels {
			if !slices.ContainsFunc(s.Control, func(l wiring.Literal) bool { return l.Label == label }) {
				control := slices.Clone(s.Control)
				control[k].Label = label
				instead("wrong-control", len(g.labels), control)
			}
		}
		if s.Kind == wiring.Read {
			continue
		}
		control := slices.Clone(s.Control)
		control[k].Not = !l.Not
		instead("literal-inverted", 1, control)
		rule := "literal-extra"
		if s.Kind == wiring.Couple && l.Not && g.unisonOff(l.Label) {
			rule = "unison-off-extra"
		}
		instead(rule, 1, slices.Delete(slices.Clone(s.Control), k, k+1))
	}
	if s.Kind == wiring.Read {
		return
	}
	for _, label := range g.labels {
		if slices.ContainsFunc(s.Control, func(l wiring.Literal) bool { return l.Label == label }) {
			continue
		}
		instead("literal-missing", 2*len(g.labels), append(slices.Clone(s.Control), wiring.Literal{Label: label}))
		rule := "literal-missing"
		if s.Kind == wiring.Couple && g.unisonOff(label) {
			rule = "unison-off-missing"
		}
		instead(rule, 2*len(g.labels), append(slices.Clone(s.Control), wiring.Literal{Label: label, Not: true}))
	}
}

// astray guesses that a row which passes nothing that matters should come from
// another line or lead to another: if what all lines pass would mend something.
func (g *guesser) astray(i int, s wiring.Switch) {
	var from, to []wiring.Switch
	for _, line := range g.lines() {
		other := s
		if other.Line = line; line != s.To {
			from = append(from, other)
		}
		other = s
		if other.To = line; line != s.Line {
			to = append(to, other)
		}
	}
	if g.switched(i, from...).gone > 0 {
		for _, other := range from {
			g.instead("wrong-keyboard", len(g.names), i, other)
		}
	}
	if g.switched(i, to...).gone > 0 {
		for _, other := range to {
			g.instead("wrong-division", len(g.names), i, other)
		}
	}
}

// lines are the names of the relay's lines, always in the same order.
func (g *guesser) lines() []string { return slices.Sorted(maps.Keys(g.names)) }

// unisonOff reports whether a label is read from a unison off.
func (g *guesser) unisonOff(label string) bool {
	rows := g.r.Soldered()
	return slices.ContainsFunc(g.r.Switch, func(s wiring.Switch) bool {
		return s.Kind == wiring.Read && s.Line == "" && s.Control[0].Label == label && slices.ContainsFunc(s.Pins, func(t wiring.Terminal) bool {
			net := g.w.nets.Of(t)
			return net >= 0 && slices.ContainsFunc(g.w.nets.Hung(net), func(h wiring.Hung) bool {
				item := rows[h.Row].Items[h.At]
				return item.Kind == wiring.ControlKind && g.in.Controls[item.Index].Kind == console.UnisonOffControl
			})
		})
	})
}

// leading guesses at where a couple row leads from and to, and what it picks.
func (g *guesser) leading(i int, s wiring.Switch) {
	for by := -24; by <= 24; by++ {
		if by == 0 {
			continue
		}
		other := s
		other.Notes, other.ToNotes = nil, nil
		for k := range s.Len() {
			if n := s.ToNotes[k] + console.Note(by); console.AllNotes.Has(n) {
				other.Notes, other.ToNotes = append(other.Notes, s.Notes[k]), append(other.ToNotes, n)
			}
		}
		g.instead("wrong-shift", max(by, -by), i, other)
	}
	for _, line := range g.lines() {
		if line != s.Line && line != s.To {
			other := s
			other.Line = line
			g.instead("wrong-keyboard", len(g.names), i, other)
			other = s
			other.To = line
			g.instead("wrong-division", len(g.names), i, other)
		}
	}
	other := s
	other.Line, other.Notes, other.To, other.ToNotes = s.To, s.ToNotes, s.Line, s.Notes
	g.instead("wrong-direction", 1, i, other)
	for _, picks := range []console.Picks{console.PicksAll, console.PicksLowest, console.PicksHighest} {
		if picks != s.Picks {
			other := s
			other.Picks = picks
			g.instead("wrong-picks", 2, i, other)
		}
	}
}

// pinned guesses at the order of a row's pins.
func (g *guesser) pinned(i int, s wiring.Switch) {
	if s.Line == "" {
		return
	}
	for _, m := range mixes(s.Len()) {
		other := s
		other.Pins = slices.Clone(s.Pins)
		size := 0
		for k, to := range m.to {
			if other.Pins[to] = s.Pins[k]; to != k {
				size++
			}
		}
		g.keep(guess{rule: m.rule, cure: replaced(i, s, other), row: i, size: size}, g.switched(i, other))
	}
}
