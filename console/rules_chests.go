package console

import (
	"fmt"
	"slices"

	"trundle/console/finding"
)

// sliderCannot finds takes that a chest with note lines and actions cannot
// play: there every note line opens the valve of its own note in every rank
// whose action is on, no other valve, and each for the divisions it has lines
// of.
func sliderCannot(in *Instrument) []finding.Finding {
	var findings []finding.Finding
	for _, s := range in.Stops {
		for _, t := range s.Takes {
			for i, stand := range in.Ranks[t.Rank].Stands {
				if !in.Chests[stand.Chest].HasNoteLines() || slices.ContainsFunc(in.Ranks[t.Rank].Stands[:i], func(o Stand) bool { return o.Chest == stand.Chest }) {
					continue
				}
				if why := in.cannot(s, t, stand.Chest); why != "" {
					c, r := in.Chests[stand.Chest], in.Ranks[t.Rank]
					findings = append(findings, finding.Finding{
						Severity: finding.Error, Place: t.At,
						Message: fmt.Sprintf("stop %s cannot take rank %s on %s chest %s: %s", s.ID, r.ID, c.Kind, c.ID, why),
						Fix:     "stand what it takes on a unit chest, or take the whole of it at its own pitch",
						Related: []finding.Related{{Place: c.At, Message: "the chest"}},
					})
				}
			}
		}
	}
	return findings
}

// cannot says why a chest with note lines cannot play a take of a rank that
// stands there, "" when it can, or has no part in it.
func (in *Instrument) cannot(s Stop, t Take, chest int) string {
	r, c := in.Ranks[t.Rank], in.Chests[chest]
	wanted := make([]bool, r.Pipes+1) // by valve
	folded := false
	wants := in.wantsOn(s, t, chest)
	for n, v := range wants {
		if n == r.Note(v) {
			wanted[v] = true
		} else {
			folded = true
		}
	}
	plays := slices.Contains(c.Plays, s.Division)
	switch {
	case len(wants) == 0 && !(plays && in.Acts(s, t)):
		return ""
	case !plays:
		return "the chest does not play division " + in.Divisions[s.Division].ID
	case t.Shift != 0:
		return fmt.Sprintf("it takes it %d semitones off its own pitch", t.Shift)
	case folded:
		return "its note lines cannot fold"
	}
	for v := 1; v <= r.Pipes; v++ {
		if !r.standsOn(chest, v) {
			continue
		}
		if !wanted[v] {
			return fmt.Sprintf("it does not take %s, which stands there too", r.Note(v))
		}
		if !c.Notes.Has(r.Note(v)) {
			return fmt.Sprintf("the chest has no note line for %s", r.Note(v))
		}
	}
	if touch, by := in.NoteLineTouch(chest, s.Division); s.Touch == 2 && touch == 1 {
		return "it reads the second contact, and stop " + by + " puts the first on the same note lines"
	}
	return ""
}

// wantsOn is the valves on a chest that a take wants, by the line note.
func (in *Instrument) wantsOn(s Stop, t Take, chest int) map[Note]int {
	r := in.Ranks[t.Rank]
	line := in.Divisions[s.Division].Notes.Cut(s.Notes).Cut(t.Notes)
	wants := map[Note]int{}
	for n := line.From; n <= line.To; n++ {
		if v := in.Wants(t, n); v != None && r.standsOn(chest, v-r.First+1) {
			wants[n] = v - r.First + 1
		}
	}
	return wants
}

// Acts reports whether a take works the action of its rank for the division of
// its stop: it wants a valve on a chest with note lines of that division. The
// action then opens the rank on every such chest.
func (in *Instrument) Acts(s Stop, t Take) bool {
	return slices.ContainsFunc(in.Ranks[t.Rank].Stands, func(stand Stand) bool {
		c := in.Chests[stand.Chest]
		return c.HasNoteLines() && slices.Contains(c.Plays, s.Division) && len(in.wantsOn(s, t, stand.Chest)) > 0
	})
}

// NoteLineTouch is the contact that a division's note lines on a chest follow:
// 1, and a stop that plays there and reads the first; or 2 where all that play
// there read the second.
func (in *Instrument) NoteLineTouch(chest, division int) (touch int, by string) {
	touch = 1
	for _, s := range in.Stops {
		if s.Division != division || !slices.ContainsFunc(s.Takes, func(t Take) bool { return len(in.wantsOn(s, t, chest)) > 0 }) {
			continue
		}
		if s.Touch != 2 {
			return 1, s.ID
		}
		touch = 2
	}
	return touch, ""
}

// standsOn reports whether valve number v of the rank stands on a chest.
func (r Rank) standsOn(chest, v int) bool {
	return slices.ContainsFunc(r.Stands, func(s Stand) bool { return s.Chest == chest && s.From <= v && v <= s.To })
}
