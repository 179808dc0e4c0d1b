package cause

import (
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// withReads is a relay in which every label and every note of a line that it
// uses is read: what nothing feeds is read from a pin of its own, on no board,
// so that it can be seen what it should be. It returns how many such pins there are.
func withReads(r *wiring.Relay) (full *wiring.Relay, unread int) {
	fed := map[note]bool{}
	labels := map[string]bool{}
	for _, s := range r.Switch {
		switch {
		case s.Kind == wiring.Read && s.Line == "":
			for _, l := range s.Control {
				labels[l.Label] = true
			}
		case s.Kind == wiring.Read:
			for i := range s.Len() {
				fed[note{s.Line, int(s.Notes[i])}] = true
			}
		case s.Kind == wiring.Couple:
			for i := range s.Len() {
				fed[note{s.To, int(s.ToNotes[i])}] = true
			}
		}
	}
	copied := *r
	full = &copied
	full.Switch = slices.Clone(r.Switch)
	read := func(s wiring.Switch) {
		s.Kind, s.Pins = wiring.Read, []wiring.Terminal{{On: -1, Pin: unread}}
		full.Switch = append(full.Switch, s)
		unread++
	}
	for _, s := range r.Switch {
		for _, l := range s.Control {
			if !labels[l.Label] {
				labels[l.Label] = true
				read(wiring.Switch{Control: []wiring.Literal{{Label: l.Label}}})
			}
		}
		if s.Kind == wiring.Read || s.Line == "" {
			continue
		}
		for i := range s.Len() {
			if n := (note{s.Line, int(s.Notes[i])}); !fed[n] {
				fed[n] = true
				read(wiring.Switch{Line: s.Line, Notes: []console.Note{s.Notes[i]}})
			}
		}
	}
	return full, unread
}
