package desk

import (
	"fmt"

	"trundle/console"
)

// run is neighbouring notes that fare alike.
type run struct {
	notes console.Span
	to    int    // where the lowest leads, the others follow; None where nowhere
	how   string // why nowhere, or how else than as it is
}

// runs are the runs of a span; leads says of a note where it leads, and how.
func runs(span console.Span, leads func(n console.Note) (to int, how string)) []run {
	var list []run
	for n := span.From; n <= span.To; n++ {
		to, how := leads(n)
		if len(list) > 0 {
			last := &list[len(list)-1]
			if follows := last.to + int(n-last.notes.From); how == last.how && (to == follows && to != console.None || to == last.to && to == console.None) {
				last.notes.To = n
				continue
			}
		}
		list = append(list, run{console.Span{From: n, To: n}, to, how})
	}
	return list
}

func (m *Model) spanText(s console.Span) string {
	if s.From == s.To {
		return m.signs.note(s.From)
	}
	return m.signs.note(s.From) + ".." + m.signs.note(s.To)
}

// aboutCoupler is which keys play what by a coupler, and which run off.
func (m *Model) aboutCoupler(c console.Coupler) []string {
	division := m.in.Divisions[c.Division]
	name := m.divisionName(c.Division)
	text := "plays the " + name + " from its own keys"
	keys := division.Notes
	if c.Keyboard != console.None {
		text = "plays the " + name + " from the keys of the " + m.keyboardName(c.Keyboard)
	}
	if from := m.playedOn(c); from != console.None {
		keys = m.in.Keyboards[from].Keys
	}
	text += interval(c.Shift)
	switch {
	case c.Picks != console.PicksAll:
		text += ", of those held the " + string(c.Picks)
	case c.Carries == console.CarriesOwn:
		text += "; its own couplers follow"
	case c.Carries == console.CarriesAll:
		text += "; its keys go down, and all that they couple follows"
	}
	if c.Touch == 2 {
		text += "; at the second contact"
	}
	if c.Pulse > 0 {
		text += fmt.Sprintf("; for %d ms at each stroke", c.Pulse)
	}
	lines := []string{text}
	for _, r := range runs(keys, func(n console.Note) (int, string) { return m.coupled(c, n) }) {
		text := "  " + m.spanText(r.notes) + " " + r.how
		if r.to != console.None {
			low := console.Note(r.to)
			text = "  " + m.spanText(r.notes) + verb(r.notes.Len(), " plays ", " play ") + m.spanText(console.Span{From: low, To: low + r.notes.To - r.notes.From})
		}
		lines = append(lines, text)
	}
	return lines
}

// playedOn is the keyboard whose keys play a coupler, None for an own coupler
// of a division that floats.
func (m *Model) playedOn(c console.Coupler) int {
	if c.Keyboard != console.None {
		return c.Keyboard
	}
	return m.in.Divisions[c.Division].Keyboard
}

// coupled is the note that a coupler makes of a key, or None and why.
func (m *Model) coupled(c console.Coupler, key console.Note) (to int, why string) {
	notes, n := m.in.Divisions[c.Division].Notes, key+console.Note(c.Shift)
	switch {
	case n > notes.To:
		return console.None, "off the " + m.divisionName(c.Division) + ", which ends at " + m.signs.note(notes.To) + ": silent by it"
	case n < notes.From:
		return console.None, "off the " + m.divisionName(c.Division) + ", which begins at " + m.signs.note(notes.From) + ": silent by it"
	case !c.Keys.Has(key):
		return console.None, "not coupled"
	}
	return int(n), ""
}

// interval is a shift in words, with a comma before them.
func interval(shift int) string {
	way, size := "up", shift
	if shift < 0 {
		way, size = "down", -shift
	}
	switch size {
	case 0:
		return ""
	case 7:
		return ", a fifth " + way
	case 12:
		return ", an octave " + way
	case 24:
		return ", two octaves " + way
	}
	return ", " + count(size, "semitone") + " " + way
}

// aboutStop is which pipes a stop takes for which notes.
func (m *Model) aboutStop(s console.Stop) []string {
	var lines []string
	notes := m.in.Divisions[s.Division].Notes
	for _, take := range s.Takes {
		rank := m.in.Ranks[take.Rank]
		leads := func(n console.Note) (int, string) {
			valve := m.in.Wants(take, n)
			if valve == console.None {
				return valve, "beyond the pipes of " + m.signs.text(rank.Name) + ": silent"
			}
			number := valve - rank.First + 1
			if over := int(n-rank.From) + take.Shift + 1 - number; over != 0 {
				return number, " again," + interval(-over)[1:]
			}
			return number, ""
		}
		for _, r := range runs(notes.Cut(s.Notes).Cut(take.Notes), leads) {
			text := m.spanText(r.notes) + " " + r.how
			if r.to != console.None {
				pipes := fmt.Sprint(r.to)
				if n := r.notes.Len(); n > 1 {
					pipes += fmt.Sprintf("..%d", r.to+n-1)
				}
				text = m.spanText(r.notes) + verb(r.notes.Len(), " plays ", " play ") + rank.ID + ":" + pipes + r.how
			}
			lines = append(lines, text)
		}
	}
	return lines
}
