package fault

import (
	"fmt"
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// switching are the mistakes in the lines and controls of the relay's own table.
func (m *maker) switching() []Site {
	t := m.readTable()
	var sites []Site
	for i, s := range m.r.Switch {
		add := func(class string, changes changes) {
			if changes.count > 0 {
				sites = append(sites, Site{Class: class, In: Switching, Row: i, Count: changes.count, Items: func(int) []wiring.Item { return nil },
					Edit: func(way int) Edit { return Edit{Row: i, Rows: changes.way(way).rows} },
					name: func(way int) (string, []wiring.Terminal) { return m.row(i) + " " + changes.way(way).says(), nil }})
			}
		}
		add("row-missing", these(said("missing")))
		add("wrong-control", t.otherControls(s))
		if s.Kind == wiring.Read {
			continue
		}
		var inverted, missing, cut []change
		for k, l := range s.Control {
			inverted = append(inverted, said("asks the opposite of "+l.Label, withControl(s, k, wiring.Literal{Label: l.Label, Not: !l.Not})))
			without := s
			without.Control = slices.Delete(slices.Clone(s.Control), k, k+1)
			c := said("does not ask "+l.Label, without)
			if missing = append(missing, c); l.Not && slices.Contains(t.cutters, l.Label) {
				cut = append(cut, c)
			}
		}
		add("literal-inverted", these(inverted...))
		if s.Kind == wiring.Couple {
			add("unison-off-missing", these(cut...))
			add("unison-off-extra", these(t.cuts(s)...))
			t.coupled(s, func(class string, list ...change) { add(class, these(list...)) })
		}
		add("literal-missing", these(missing...))
		add("literal-extra", t.extra(s))
	}
	return sites
}

// change is what stands in a row's place.
type change struct {
	says func() string
	rows []wiring.Switch
}

func said(text string, rows ...wiring.Switch) change {
	return change{func() string { return text }, rows}
}

// changes are so many, each made when it is asked for: of some classes a large
// relay has hundreds of thousands.
type changes struct {
	count int
	way   func(i int) change
}

func these(list ...change) changes {
	return changes{len(list), func(i int) change { return list[i] }}
}

func withControl(s wiring.Switch, k int, l wiring.Literal) wiring.Switch {
	s.Control = slices.Clone(s.Control)
	s.Control[k] = l
	return s
}

// lines is what a table knows by name.
type lines struct {
	rows                 []wiring.Switch
	labels, read, driven []string
	cutters              []string // labels of unison offs
	picks                bool
}

func (m *maker) readTable() *lines {
	t := &lines{rows: m.r.Switch}
	for _, s := range m.r.Switch {
		for _, l := range s.Control {
			t.labels = including(t.labels, l.Label)
		}
		switch s.Kind {
		case wiring.Read:
			if t.read = including(t.read, s.Line); s.Line == "" && slices.ContainsFunc(s.Pins, m.cutter) {
				t.cutters = including(t.cutters, s.Control[0].Label)
			}
		case wiring.Drive:
			t.driven = including(t.driven, s.Line)
		case wiring.Couple:
			t.picks = t.picks || s.Picks != console.PicksAll
		}
	}
	return t
}

// cutter reports whether the contact of a unison off hangs on a pin.
func (m *maker) cutter(pin wiring.Terminal) bool {
	return slices.ContainsFunc(m.on(pin), func(item wiring.Item) bool {
		return item.Kind == wiring.ControlKind && m.in.Controls[item.Index].Kind == console.UnisonOffControl
	})
}

func including(list []string, member string) []string {
	if member == "" || slices.Contains(list, member) {
		return list
	}
	return append(list, member)
}

func (t *lines) otherControls(s wiring.Switch) changes {
	others := len(t.labels) - 1
	return changes{len(s.Control) * others, func(i int) change {
		l := s.Control[i/others]
		label := t.labels[i%others]
		if i%others >= slices.Index(t.labels, l.Label) {
			label = t.labels[i%others+1]
		}
		return change{func() string { return "asks " + label + ", not " + l.Label }, []wiring.Switch{withControl(s, i/others, wiring.Literal{Label: label, Not: l.Not})}}
	}}
}

// extra are controls that a row asks and should not.
func (t *lines) extra(s wiring.Switch) changes {
	labels := make([]string, 0, len(t.labels))
	for _, label := range t.labels {
		if !slices.ContainsFunc(s.Control, func(l wiring.Literal) bool { return l.Label == label }) {
			labels = append(labels, label)
		}
	}
	return changes{2 * len(labels), func(i int) change {
		more, l := s, wiring.Literal{Label: labels[i/2], Not: i%2 == 1}
		more.Control = append(slices.Clip(s.Control), l)
		return change{func() string {
			return "asks " + wiring.FormatControl([]wiring.Literal{l}) + ", which it should not"
		}, []wiring.Switch{more}}
	}}
}

// cuts are unison offs that cut a row which they should not.
func (t *lines) cuts(s wiring.Switch) []change {
	var changes []change
	for _, label := range t.cutters {
		l := wiring.Literal{Label: label, Not: true}
		if !slices.Contains(s.Control, l) {
			more := s
			more.Control = append(slices.Clone(s.Control), l)
			changes = append(changes, said(label+" cuts it", more))
		}
	}
	return changes
}

// coupled are the mistakes of a couple row: where it leads from and to, by how
// much, and what it picks.
func (t *lines) coupled(s wiring.Switch, add func(string, ...change)) {
	var shifts, keyboards, divisions, further, picks []change
	for by := -24; by <= 24; by++ {
		unit := "semitones"
		if by*by == 1 {
			unit = "semitone"
		}
		if by != 0 {
			shifts = append(shifts, said(fmt.Sprintf("is off by %+d %s", by, unit), shifted(s, by)))
		}
	}
	for _, line := range t.read {
		if line != s.Line {
			other := s
			other.Line = line
			keyboards = append(keyboards, said("comes from "+line, other))
		}
	}
	for _, line := range t.driven {
		if line != s.To {
			other := s
			other.To = line
			divisions = append(divisions, said("goes to "+line, other))
		}
	}
	if len(s.Control) > 0 && !slices.Contains(t.driven, s.To) {
		further = append(further, said("is carried no further"))
	}
	for _, line := range t.feeding(s) {
		more := s
		more.To = line
		further = append(further, said("is carried further, by "+line, s, more))
	}
	for _, p := range []console.Picks{console.PicksAll, console.PicksLowest, console.PicksHighest} {
		if s.Picks != console.PicksAll && p != s.Picks {
			other := s
			other.Picks = p
			picks = append(picks, said(fmt.Sprintf("picks %q", p), other))
		}
	}
	add("wrong-shift", shifts...)
	add("wrong-keyboard", keyboards...)
	add("wrong-division", divisions...)
	if !t.picks {
		back := s
		back.Line, back.Notes, back.To, back.ToNotes = s.To, s.ToNotes, s.Line, s.Notes
		add("wrong-direction", said("leads the other way", back))
	}
	add("wrong-carries", further...)
	add("wrong-picks", picks...)
}

func shifted(s wiring.Switch, by int) wiring.Switch {
	var notes, to []console.Note
	for i, n := range s.ToNotes[:s.Len()] {
		if n += console.Note(by); console.AllNotes.Has(n) {
			notes, to = append(notes, s.Notes[i]), append(to, n)
		}
	}
	s.Notes, s.ToNotes = notes, to
	return s
}

// feeding are the lines that couple rows lead from to a row's own, and that
// drive nothing themselves: what own couplers and other keyboards read.
func (t *lines) feeding(s wiring.Switch) []string {
	if t.picks || len(s.Control) == 0 {
		return nil // a new way might make a row that picks depend on its own outcome
	}
	var list []string
	for _, row := range t.rows {
		if row.Kind == wiring.Couple && row.To == s.To && row.Line != s.Line && !slices.Contains(t.read, row.Line) {
			list = including(list, row.Line)
		}
	}
	return list
}
