package wiring

import (
	"trundle/console"
	"trundle/console/finding"
)

func labelNotRead(r *Relay, _ *console.Instrument) []finding.Finding {
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
	check := func(place finding.Place, name string, known *names, otherwise string) {
		if _, is := known.index[name]; is {
			return
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
