package cause

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"trundle/sim/wiring"
)

// told is a suspect with what is to be said of it.
func (m *model) told(s suspect) suspect {
	if len(s.moved) > 0 {
		s.at = m.movedAt(s)
		s.pins = m.movedPins(s.moved)
		s.message = m.movedMessage(s, s.pins)
	} else {
		s.at = m.gapsAt(s.gaps)
		s.pins = m.gapPins(s.gaps)
		s.message = m.gapsMessage(s)
	}
	return s
}

// causes are what is said of all that is guilty. Where the cures of several alter
// one row, the first says all of it once, and the others where.
func (p paper) causes(all []guilty) []Cause {
	var causes []Cause
	first := sharing(all)
	for i, g := range all {
		beside := newChange()
		for j, other := range all {
			if j != i && first[j] == first[i] {
				beside = beside.and(other.cure)
			}
		}
		c := p.cause(g, beside)
		if lead := all[first[i]].at; first[i] != i {
			c.Cure = nil
			c.Fix = fmt.Sprintf("what is to be written for %s:%d mends this too", filepath.Base(lead.File), lead.Line)
		}
		causes = append(causes, c)
	}
	return causes
}

// sharing is, for each of what is guilty, the first whose cure alters a row that
// its own alters, or that of another between them: itself where it has all rows
// for itself.
func sharing(all []guilty) []int {
	first := make([]int, len(all))
	for i, g := range all {
		first[i] = i
		for j, other := range all[:i] {
			if a, b := first[i], first[j]; a != b && g.cure.shares(other.cure) {
				for k := range first[:i+1] {
					if first[k] == max(a, b) {
						first[k] = min(a, b)
					}
				}
			}
		}
	}
	return first
}

// cause is what is said of what is guilty, with the cures of others that alter
// the same rows.
func (p paper) cause(g guilty, beside change) Cause {
	c := Cause{Rule: p.rule(g.suspect), Message: g.message, At: g.at, Pins: g.pins, InTable: g.layer == inSwitching, Valves: g.valves}
	c.Cure, c.Cured = p.filed(p.edits(g.cure.and(beside))), with(p.r, g.cure)
	c.Fix = p.fix(c.At, c.Cure)
	if p.lacksCable(g.cure) {
		c.Fix += "; its cable and wires do not follow from the rows beside it"
	}
	for _, s := range g.others {
		cure := p.filed(p.edits(tidied(p.r, []change{p.cabled(s.cure)})[0].and(beside)))
		c.Or = append(c.Or, Reading{Message: s.message, Fix: p.fix(s.at, cure), At: s.at, Cure: cure, Less: s.less})
	}
	return c
}

// rule is what kind of mistake a suspect is. What a plan, and nothing else,
// hangs nowhere is no open wire, and pins that are not there come before all.
func (p paper) rule(s suspect) string {
	for e := range s.cure.unhang {
		if t := p.r.Soldered()[e.row].Pins[e.at]; t.Pin > pinsOn(p.r, t.On) {
			return "pin-off-board"
		}
	}
	open := s.rule == "pin-open" || s.rule == "group-open" || s.rule == "row-missing"
	if p.r.Wired != nil || s.layer != inWiring || !open {
		return s.rule
	}
	for e := range s.cure.unhang {
		if p.r.Plan[e.row].Kind != wiring.SpareKind {
			return s.rule
		}
	}
	return "item-not-wired"
}

func (m *model) pinWords(pins []wiring.Terminal) string { return pinWords(m.r, pins) }

// pinWords name pins by board, with runs: X3.1..12 and X4.5.
func pinWords(r *wiring.Relay, pins []wiring.Terminal) string {
	var words []string
	for len(pins) > 0 {
		n := 1
		for n < len(pins) && pins[n].On == pins[0].On {
			n++
		}
		var numbers []int
		for _, t := range pins[:n] {
			numbers = append(numbers, t.Pin)
		}
		words = append(words, r.Board(pins[0].On)+"."+strings.ReplaceAll(wiring.FormatNumbers(numbers), " ", ","))
		pins = pins[n:]
	}
	return strings.Join(words, " and ")
}

// word names one thing that hangs on a pin: bourdon:26, great:C4, a control's id.
func (m *model) word(item wiring.Item) string {
	if item == nothing {
		return "nothing"
	}
	kind, name, at := item.Words(m.in)
	switch {
	case at != "":
		return name + ":" + at
	case kind == wiring.ActionKind || kind == wiring.ActionOnKind || kind == wiring.ActionOffKind:
		return "the action of " + name
	}
	return name
}

// words name things: one by one where they are few, otherwise by what they
// have in common.
func (m *model) words(items []wiring.Item) string {
	const few = 3
	if len(items) <= few {
		var list []string
		for _, item := range items {
			list = append(list, m.word(item))
		}
		return strings.Join(list, ", ")
	}
	var names []string
	for _, item := range items {
		_, name, _ := item.Words(m.in)
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	if len(names) > few {
		names = append(names[:few], fmt.Sprintf("%d more", len(names)-few))
	}
	return fmt.Sprintf("%d of %s", len(items), strings.Join(names, ", "))
}
