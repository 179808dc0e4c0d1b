package wiring

import (
	"fmt"

	"trundle/console"
	"trundle/console/finding"
)

func labelNotRead(r *Relay, in *console.Instrument) []finding.Finding {
	if r.Derived { // what it waits for in vain is not wired, and said so
		return nil
	}
	labels, lines := newNames("control"), newNames("line")
	for _, s := range r.Switch {
		switch {
		case s.Kind == Read && s.Line == "":
			labels.add(s.Control[0].Label, 0)
		case s.Kind == Read:
			lines.add(s.Line, 0)
		case s.Kind == Couple:
			lines.add(s.To, 0)
		}
	}
	var found []finding.Finding
	controls := namesOf("control", in.Controls, func(c console.Control) string { return c.ID })
	misread := map[string]bool{} // controls whose read row has been found to be misspelt
	check := func(place finding.Place, name string, known *names, otherwise string) {
		if _, is := known.index[name]; is || known == labels && misread[name] {
			return
		}
		if _, is := controls.index[name]; is && known == labels {
			if s, near := r.misspelt(name, controls); near {
				misread[name] = true
				found = append(found, fault(s.Place(ControlColumn), "did you mean "+name+"?", "no control is called %s, and no row sets %s, which another waits for", s.Control[0].Label, name))
				return
			}
		}
		fix := known.fix(name)
		if fix == "" {
			fix = otherwise
		}
		found = append(found, fault(place, fix, "no row sets the %s %s, so it is never on", known.what, name))
	}
	for _, s := range r.Switch {
		if s.Kind == Read {
			continue
		}
		for _, l := range s.Control {
			check(s.Place(ControlColumn), l.Label, labels, "add a row that reads its pin")
		}
		if s.Line != "" {
			check(s.Place(LineColumn), s.Line, lines, "add a row that reads or couples to it")
		}
	}
	return found
}

// misspelt is a row that reads a control by a name that no control has, where
// the name of one is near.
func (r *Relay) misspelt(name string, controls *names) (Switch, bool) {
	for _, s := range r.Switch {
		if s.Kind != Read || s.Line != "" {
			continue
		}
		label := s.Control[0].Label
		if _, is := controls.index[label]; !is && finding.DidYouMean(label, []string{name}) != "" {
			return s, true
		}
	}
	return Switch{}, false
}

// rowTwice finds rows that say again what a row before them says.
func rowTwice(r *Relay, _ *console.Instrument) []finding.Finding {
	if r.Derived {
		return nil
	}
	var found []finding.Finding
	first := map[string]finding.Place{}
	for _, s := range r.Switch {
		key := fmt.Sprint(s.Kind, s.Line, s.Notes, s.Control, s.Pins, s.To, s.ToNotes, s.Picks)
		at, again := first[key]
		if !again {
			first[key] = s.At
			continue
		}
		f := warning(s.At, "take the row out", "the same row stands here a second time")
		f.Related = []finding.Related{{Place: at, Message: "the first"}}
		found = append(found, f)
	}
	return found
}

func readsOutput(r *Relay, _ *console.Instrument) []finding.Finding {
	return r.wrongWay(Read, Output, "%s is an output board: its pins cannot be read")
}

func drivesInput(r *Relay, _ *console.Instrument) []finding.Finding {
	return r.wrongWay(Drive, Input, "%s is an input board: its pins cannot be driven")
}

func (r *Relay) wrongWay(kind SwitchKind, d Direction, format string) []finding.Finding {
	var found []finding.Finding
	for _, s := range r.Switch {
		if s.Kind == kind && len(s.Pins) > 0 && r.Boards[s.Pins[0].On].Direction == d {
			found = append(found, fault(s.Place(SwitchBoardColumn), "name another board, or correct its kind", format, r.Board(s.Pins[0].On)))
		}
	}
	return found
}

func picksOwnOutcome(r *Relay, _ *console.Instrument) []finding.Finding {
	var found []finding.Finding
	for _, i := range OwnOutcome(r.Switch) {
		s := r.Switch[i]
		found = append(found, fault(s.Place(PicksColumn), "let it pick from a line that nothing leads to from "+s.To,
			"what this row picks from %s changes with what it passes to %s; it passes nothing", s.Line, s.To))
	}
	return found
}
