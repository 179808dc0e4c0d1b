package gen

import (
	"fmt"
	"slices"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/wiring"
)

// switchFaults are the faults of the relay's own table that concern lines and
// controls: which rows can have them, and how a row is changed. What is
// returned says what was done.
var switchFaults = []struct {
	class string
	fits  func(t *switching, s *wiring.Switch) bool
	make  func(t *switching, s *wiring.Switch) string
}{
	{"wrong-control", func(t *switching, s *wiring.Switch) bool {
		return len(s.Control) > 0 && len(t.labels) > 1
	}, func(t *switching, s *wiring.Switch) string {
		l := &s.Control[t.IntN(len(s.Control))]
		was := l.Label
		for l.Label == was {
			l.Label = pick(t, t.labels)
		}
		return fmt.Sprintf("the row asks %s, not %s", l.Label, was)
	}},
	{"wrong-shift", couples, func(t *switching, s *wiring.Switch) string {
		by := pick(t, []int{12, -12, 1, -1, 7})
		var notes, to []console.Note
		for i, n := range s.ToNotes {
			if n += console.Note(by); console.AllNotes.Has(n) {
				notes, to = append(notes, s.Notes[i]), append(to, n)
			}
		}
		s.Notes, s.ToNotes = notes, to
		return fmt.Sprintf("the row from %s to %s is %d semitones off", s.Line, s.To, by)
	}},
	{"wrong-keyboard", func(t *switching, s *wiring.Switch) bool {
		return couples(t, s) && len(others(t.read, s.Line)) > 0
	}, func(t *switching, s *wiring.Switch) string {
		was := s.Line
		s.Line = pick(t, others(t.read, s.Line))
		return fmt.Sprintf("the row to %s comes from %s, not %s", s.To, s.Line, was)
	}},
	{"wrong-division", func(t *switching, s *wiring.Switch) bool {
		return couples(t, s) && len(others(t.driven, s.To)) > 0
	}, func(t *switching, s *wiring.Switch) string {
		was := s.To
		s.To = pick(t, others(t.driven, s.To))
		return fmt.Sprintf("the row from %s goes to %s, not %s", s.Line, s.To, was)
	}},
	{"wrong-direction", func(t *switching, s *wiring.Switch) bool {
		return couples(t, s) && !t.picks
	}, func(_ *switching, s *wiring.Switch) string {
		s.Line, s.Notes, s.To, s.ToNotes = s.To, s.ToNotes, s.Line, s.Notes
		return fmt.Sprintf("the row from %s to %s leads the other way", s.To, s.Line)
	}},
	{"wrong-carries", func(t *switching, s *wiring.Switch) bool {
		return t.carries(*s)
	}, func(_ *switching, s *wiring.Switch) string {
		s.Notes, s.ToNotes = nil, nil
		return fmt.Sprintf("what %s passes to %s is carried no further", s.Line, s.To)
	}},
	{"wrong-carries", func(t *switching, s *wiring.Switch) bool {
		return couples(t, s) && !t.picks && len(s.Control) > 0 && len(t.feeding(s)) > 0
	}, func(t *switching, s *wiring.Switch) string {
		more := *s
		more.To = pick(t, t.feeding(s))
		s.At = finding.Place{} // this row stays as it is
		t.added = append(t.added, more)
		return fmt.Sprintf("what %s passes to %s is carried further, by %s", s.Line, s.To, more.To)
	}},
	{"unison-off-missing", func(t *switching, s *wiring.Switch) bool {
		return couples(t, s) && slices.ContainsFunc(s.Control, t.cuts)
	}, func(t *switching, s *wiring.Switch) string {
		i := slices.IndexFunc(s.Control, t.cuts)
		label := s.Control[i].Label
		s.Control = slices.Delete(s.Control, i, i+1)
		return fmt.Sprintf("%s does not cut the row from %s to %s", label, s.Line, s.To)
	}},
	{"unison-off-extra", func(t *switching, s *wiring.Switch) bool {
		return couples(t, s) && len(t.cutting(s)) > 0
	}, func(t *switching, s *wiring.Switch) string {
		label := pick(t, t.cutting(s))
		s.Control = append(s.Control, wiring.Literal{Label: label, Not: true})
		return fmt.Sprintf("%s cuts the row from %s to %s", label, s.Line, s.To)
	}},
	{"wrong-picks", func(_ *switching, s *wiring.Switch) bool {
		return s.Picks != console.PicksAll
	}, func(t *switching, s *wiring.Switch) string {
		was := s.Picks
		for s.Picks == was {
			s.Picks = pick(t, []console.Picks{console.PicksAll, console.PicksLowest, console.PicksHighest})
		}
		return fmt.Sprintf("the row from %s to %s picks %q, not %q", s.Line, s.To, s.Picks, was)
	}},
	{"literal-missing", func(t *switching, s *wiring.Switch) bool {
		return asks(t, s) && len(t.plain(s)) > 0
	}, func(t *switching, s *wiring.Switch) string {
		i := pick(t, t.plain(s))
		label := s.Control[i].Label
		s.Control = slices.Delete(s.Control, i, i+1)
		return fmt.Sprintf("the row does not ask %s", label)
	}},
	{"literal-inverted", asks, func(t *switching, s *wiring.Switch) string {
		l := &s.Control[t.IntN(len(s.Control))]
		l.Not = !l.Not
		return fmt.Sprintf("the row asks the opposite of %s", l.Label)
	}},
	{"literal-extra", func(t *switching, s *wiring.Switch) bool {
		return s.Kind != wiring.Read && len(t.foreign(s)) > 0
	}, func(t *switching, s *wiring.Switch) string {
		l := wiring.Literal{Label: pick(t, t.foreign(s)), Not: t.IntN(2) == 0}
		s.Control = append(s.Control, l)
		return fmt.Sprintf("the row asks %s, which it should not", l.Label)
	}},
}

func switchClasses() []string {
	var classes []string
	for _, f := range switchFaults {
		classes = including(classes, f.class)
	}
	return classes
}

func couples(_ *switching, s *wiring.Switch) bool { return s.Kind == wiring.Couple }

func asks(_ *switching, s *wiring.Switch) bool { return s.Kind != wiring.Read && len(s.Control) > 0 }

// switching is what the faults of a table need to know of the whole of it.
type switching struct {
	*planter
	labels, read, driven []string // labels and lines that are read, lines that are driven
	cutters              []string // labels of unison offs
	picks                bool     // some row picks: new ways between lines might make it depend on its own outcome
	added                []wiring.Switch
}

// tableOf is what there is to know of the planter's table.
func (p *planter) tableOf() *switching {
	t := &switching{planter: p, labels: labelsOf(p.relay.Switch)}
	nets := wiring.NetsOf(p.relay, p.relay.Plan)
	for _, s := range p.relay.Switch {
		switch s.Kind {
		case wiring.Read:
			t.read = including(t.read, s.Line)
			for _, pin := range s.Pins {
				for _, h := range nets.Hung(nets.Of(pin)) {
					item := nets.Item(h)
					if s.Line == "" && item.Kind == wiring.ControlKind && p.in.Controls[item.Index].Kind == console.UnisonOffControl {
						t.cutters = including(t.cutters, s.Control[0].Label)
					}
				}
			}
		case wiring.Drive:
			t.driven = including(t.driven, s.Line)
		case wiring.Couple:
			t.picks = t.picks || s.Picks != console.PicksAll
		}
	}
	return t
}

func (p *planter) inSwitching(class string) bool {
	t := p.tableOf()
	var ways []func()
	for _, f := range switchFaults {
		for i := range p.relay.Switch {
			if s := &p.relay.Switch[i]; f.class == class && f.fits(t, s) {
				ways = append(ways, func() {
					s.At = touched
					p.describe(string(s.Kind), "%s row: %s", s.Kind, f.make(t, s))
				})
			}
		}
	}
	if len(ways) == 0 {
		return false
	}
	pick(p, ways)()
	p.relay.Switch = append(p.relay.Switch, t.added...)
	return true
}

// feeding are the lines that couple rows lead from to a row's own, and that
// drive nothing themselves: what own couplers and other keyboards read.
func (t *switching) feeding(s *wiring.Switch) []string {
	var lines []string
	for _, row := range t.relay.Switch {
		if row.Kind == wiring.Couple && row.To == s.To && row.Line != s.Line && !slices.Contains(t.read, row.Line) {
			lines = including(lines, row.Line)
		}
	}
	return lines
}

// carries reports whether a row says what a coupler carries further: it leads,
// under a control, to a line that drives nothing and has other notes too.
func (t *switching) carries(s wiring.Switch) bool {
	return s.Kind == wiring.Couple && len(s.Control) > 0 && !slices.Contains(t.driven, s.To) &&
		slices.ContainsFunc(t.relay.Switch, func(row wiring.Switch) bool {
			return row.To == s.To && row.Line != s.Line || row.Kind == wiring.Read && row.Line == s.To
		})
}

// cuts reports whether a literal is that a unison off is not on.
func (t *switching) cuts(l wiring.Literal) bool { return l.Not && slices.Contains(t.cutters, l.Label) }

// cutting are the labels of unison offs that do not cut this row.
func (t *switching) cutting(s *wiring.Switch) []string {
	return slices.DeleteFunc(slices.Clone(t.cutters), func(label string) bool {
		return slices.Contains(s.Control, wiring.Literal{Label: label, Not: true})
	})
}

// plain are the places of a row's literals but for those by which a unison off
// cuts what is coupled.
func (t *switching) plain(s *wiring.Switch) []int {
	var places []int
	for i, l := range s.Control {
		if s.Kind != wiring.Couple || !t.cuts(l) {
			places = append(places, i)
		}
	}
	return places
}

// foreign are the labels that a row does not ask, without those of unison offs.
func (t *switching) foreign(s *wiring.Switch) []string {
	return slices.DeleteFunc(slices.Clone(t.labels), func(label string) bool {
		return slices.Contains(t.cutters, label) || slices.ContainsFunc(s.Control, func(l wiring.Literal) bool { return l.Label == label })
	})
}

// including is a list with a member more, if that is new and not empty.
func including(list []string, member string) []string {
	if member == "" || slices.Contains(list, member) {
		return list
	}
	return append(list, member)
}

// others are the members of a list but one.
func others(list []string, but string) []string {
	return slices.DeleteFunc(slices.Clone(list), func(s string) bool { return s == but })
}
