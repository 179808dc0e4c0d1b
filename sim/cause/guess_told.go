package cause

import (
	"fmt"
	"slices"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/wiring"
)

// guessed is guesses as suspects.
func (m *model) guessed(guesses []guess) (all []suspect) {
	for _, x := range guesses {
		all = append(all, m.suspect(x))
	}
	return all
}

func (m *model) suspect(x guess) suspect {
	if x.is != nil {
		return *x.is
	}
	s := suspect{group: group{rule: x.rule}, cure: x.cure, cured: true, layer: inSwitching}
	if x.row >= 0 {
		row := m.r.Switch[x.row]
		phrase := gapPhrases[x.rule]
		if phrase == "" {
			phrase = "has its pins out of order"
		}
		if s.message = x.says; x.says == "" {
			s.message = "the row " + m.paper().switchText(row) + " " + phrase
		}
		s.at, s.pins = row.At, slices.Clone(row.Pins)
		if len(x.cure.switches) == 1 && !slices.Equal(x.cure.switches[0].Pins, row.Pins) {
			s.pins = otherwise(row, x.cure.switches[0])
		}
		slices.SortFunc(s.pins, compareTerminals)
		return s
	}
	if len(x.cure.switches) > 0 {
		row := x.cure.switches[0]
		if s.message = x.says; x.says == "" {
			s.message = fmt.Sprintf("the row %s %s", m.paper().switchText(row), gapPhrases[x.rule])
		}
		s.at, s.pins = m.addedAt(row), row.Pins
		return s
	}
	if s.layer = inWiring; len(x.cure.hang) == 0 {
		s.layer = inJoins
	}
	s.moved = m.rearranged(x.cure)
	if x.says == "" {
		return m.told(s)
	}
	s.at, s.pins = m.movedAt(s), m.movedPins(s.moved)
	if s.message = x.says; x.rule == "run-shifted" && s.layer == inWiring {
		s.message += m.leg(s, s.pins)
	}
	return s
}

// otherwise are the pins that two rows have for different notes.
func otherwise(a, b wiring.Switch) []wiring.Terminal {
	notes := [2]map[wiring.Terminal]console.Note{{}, {}}
	var pins []wiring.Terminal
	for i, s := range []wiring.Switch{a, b} {
		for at := range s.Len() {
			if s.Line != "" {
				notes[i][s.Pins[at]] = s.Notes[at]
			}
			if !slices.Contains(pins, s.Pins[at]) {
				pins = append(pins, s.Pins[at])
			}
		}
	}
	return slices.DeleteFunc(pins, func(t wiring.Terminal) bool {
		x, was := notes[0][t]
		y, is := notes[1][t]
		return was && is && x == y
	})
}

// addedAt is where a row that is missing is spoken of: the row that reads its
// control, or its line.
func (m *model) addedAt(row wiring.Switch) finding.Place {
	for _, s := range m.r.Switch {
		if s.Kind == wiring.Read && s.Line == "" && slices.ContainsFunc(row.Control, func(l wiring.Literal) bool { return !l.Not && l.Label == s.Control[0].Label }) {
			return s.At
		}
	}
	for _, s := range m.r.Switch {
		if s.Kind == wiring.Read && s.Line != "" && s.Line == row.Line {
			return s.At
		}
	}
	if len(row.Pins) > 0 {
		return m.switchBeside(row)
	}
	return m.r.At.Switching
}

// rearranged is what a change of the wiring or the joins moves, by the pins of
// the boards.
func (m *model) rearranged(c change) []moved {
	if len(c.unhang)+len(c.hang)+len(c.unjoin)+len(c.joins) == 0 {
		return nil
	}
	after := wiring.Nets(with(m.r, c))
	var all []moved
	for net := range m.rel.Nets.Len() {
		have := m.counted(m.rel.Nets, net)
		for _, pin := range m.rel.Nets.Terminals(net) {
			means := m.counted(after, after.Of(pin))
			if pin.On >= len(m.r.Boards) || slices.Equal(have, means) {
				continue
			}
			e := moved{net: net, input: m.r.Boards[pin.On].Direction == wiring.Input}
			if len(have) > 0 {
				e.have = have[0]
			}
			if len(means) > 0 {
				e.means = means[0]
			}
			all = append(all, e)
			break
		}
	}
	return all
}
