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

// cause is what is said of what is guilty.
func (p paper) cause(g guilty) Cause {
	c := Cause{Rule: p.rule(g.suspect), Message: g.message, At: g.at, Pins: g.pins, InTable: g.layer == inSwitching, Valves: g.valves}
	c.Cure, c.Cured = p.edits(g.cure), with(p.r, g.cure)
	c.Fix = fix(c.Cure)
	if p.lacksCable(g.cure) {
		c.Fix += "; its cable and wires do not follow from the rows beside it"
	}
	for _, s := range g.others {
		cure := p.edits(tidied(p.r, []change{p.onOwnWires(s.cure)})[0])
		c.Or = append(c.Or, Reading{Message: s.message, Fix: fix(cure), At: s.at, Cure: cure})
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

// fix says what to write, or to add where no row is to be replaced.
func fix(cure []Edit) string {
	var fresh, out []string
	verb, to := "add the row", ""
	for _, e := range cure {
		fresh = append(fresh, e.New...)
		if len(e.New) == 0 {
			out = append(out, e.Old)
		}
		if e.Old != "" {
			verb = "write"
		}
		if len(e.New) > 0 && e.At.File != "" {
			to = " to " + filepath.Base(e.At.File)
		}
	}
	if verb == "write" {
		to = ""
	} else if len(fresh) > 1 {
		verb = "add the rows"
	}
	const many = 6
	if 0 < len(out) && len(out) <= many {
		to += "; take out " + strings.Join(out, " and ")
	}
	switch {
	case len(fresh) == 0:
		return "take the row out"
	case len(fresh) <= many:
		return verb + " " + strings.Join(fresh, " and ") + to
	}
	return fmt.Sprintf("%s %s and %d more%s; --format json lists them", verb, strings.Join(fresh[:many-1], " and "), len(fresh)-many+1, to)
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
