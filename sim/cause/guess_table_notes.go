package cause

import (
	"fmt"
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// ofOtherNotes guesses at the notes of a row, and those to which it leads: some
// too high or low, or the other way round.
func (t tableSlips) ofOtherNotes(i int, s wiring.Switch) {
	if s.Line == "" {
		return
	}
	for _, to := range []bool{false, true} {
		notes, which, many := s.Notes, "notes", len(s.Pins)
		if s.Kind == wiring.Couple {
			many = len(s.ToNotes)
		}
		if to {
			notes, which, many = s.ToNotes, "notes that it leads to", len(s.Notes)
		}
		put := func(notes []console.Note) wiring.Switch {
			other := s
			if other.Notes = notes; to {
				other.Notes, other.ToNotes = s.Notes, notes
			}
			return other
		}
		if to && s.Kind != wiring.Couple {
			break
		}
		for by := -furthest; by <= furthest; by++ {
			moved := slices.Clone(notes)
			if len(notes) != many {
				moved = make([]console.Note, many)
				for k := range moved {
					moved[k] = notes[0] + console.Note(k)
				}
			}
			for k := range moved {
				moved[k] -= console.Note(by)
			}
			if by == 0 && len(notes) == many || slices.ContainsFunc(moved, func(n console.Note) bool { return !console.AllNotes.Has(n) }) {
				continue
			}
			rule, says := "run-shifted", fmt.Sprintf("%s has the %s %s", t.row(s), which, semitones(by))
			switch {
			case len(notes) != many:
				rule, says = "ranges-differ", fmt.Sprintf("%s has %d notes for %d", t.row(s), len(notes), many)
			case s.Kind == wiring.Couple:
				rule = "wrong-shift"
			case by == 12 || by == -12:
				rule = "octave-off"
			}
			t.keep(rule, i, put(moved), says)
		}
		if len(notes) > 2 {
			turned := slices.Clone(notes)
			slices.Reverse(turned)
			t.keep("order-reversed", i, put(turned), fmt.Sprintf("%s has the %s the other way round", t.row(s), which))
		}
	}
}

// semitones says by how much notes are too high.
func semitones(by int) string {
	which := "high"
	if by < 0 {
		by, which = -by, "low"
	}
	switch by {
	case 1:
		return "a semitone too " + which
	case 12:
		return "an octave too " + which
	case 24:
		return "two octaves too " + which
	}
	return fmt.Sprintf("%d semitones too %s", by, which)
}
