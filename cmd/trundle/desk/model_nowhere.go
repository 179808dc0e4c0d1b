package desk

import (
	"slices"

	"trundle/console"
)

// nowhere says of the key under the cursor, held, where it leads and no pipe
// sounds: off a division by a coupler, or past the pipes of a stop.
func (m *Model) nowhere() []line {
	machine := m.console.Machine()
	if !machine.Held(m.cursor.key()) || !m.straight() {
		return nil
	}
	alone := m.alone()
	var lines []line
	for k := range m.in.Keyboards {
		for n := console.Note(0); n < 128; n++ {
			held := m.cursor.key() == console.Key{Keyboard: k, Note: n}
			if !held && !alone.Moved(k, n) {
				continue
			}
			for _, c := range m.in.Couplers {
				if m.playedOn(c) != k || !machine.On(c.Control) {
					continue
				}
				if to, why := m.coupled(c, n); to == console.None {
					lines = append(lines, line{text: "  " + m.keyboardName(k) + " " + m.signs.note(n) + " " + m.signs.here + " " + m.controlName(c.Control) + ": " + why, ink: Dim})
				}
			}
		}
	}
	return append(lines, m.pipeless(alone)...)
}

// straight reports that a key is heard as it is held: not transposed, nor on
// another keyboard, nor on one that is divided.
func (m *Model) straight() bool {
	machine := m.console.Machine()
	return machine.Transpose() == 0 &&
		!slices.ContainsFunc(m.in.Transfers, func(t console.Transfer) bool { return machine.On(t.Control) }) &&
		!slices.ContainsFunc(m.in.Divides, func(d console.Divide) bool { return machine.On(d.Control) })
}

// pipeless are the notes on a division's line for which a stop that is on has
// no pipe.
func (m *Model) pipeless(alone *console.Sounding) []line {
	var lines []line
	for _, s := range m.in.Stops {
		if !m.console.Machine().On(s.Control) {
			continue
		}
		notes := m.in.Divisions[s.Division].Notes
		for n := notes.From; n <= notes.To; n++ {
			if alone.Line(s.Division, n) && !m.hasPipe(s, n) {
				lines = append(lines, line{text: "  " + m.divisionName(s.Division) + " " + m.signs.note(n) + " " + m.signs.here + " " + m.controlName(s.Control) + ": no pipe", ink: Dim})
			}
		}
	}
	return lines
}

func (m *Model) hasPipe(s console.Stop, n console.Note) bool {
	for _, take := range s.Takes {
		if s.Notes.Has(n) && take.Notes.Has(n) && m.in.Wants(take, n) != console.None {
			return true
		}
	}
	return false
}
