package gen

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// reshape is a switching table of other rows, lines and labels in another
// order, which does the same.
func reshape(r *rand.Rand, rows []wiring.Switch) []wiring.Switch {
	s := &shaper{Rand: r, labels: labelsOf(rows)}
	s.rename(rows)
	for _, row := range s.rows {
		switch s.IntN(8) {
		case 0:
			s.halves(row)
		case 1:
			s.singles(row)
		case 2:
			s.detour(row)
		case 3:
			s.cases(row)
		case 4:
			s.out = append(s.out, s.stirred(row), row)
		default:
			s.out = append(s.out, s.stirred(row))
		}
	}
	s.Shuffle(len(s.out), func(i, j int) { s.out[i], s.out[j] = s.out[j], s.out[i] })
	return s.out
}

type shaper struct {
	*rand.Rand
	labels []string
	rows   []wiring.Switch // what is left to shape
	out    []wiring.Switch
	lines  int // new lines so far
}

// labelsOf lists the labels that rows read, in their order.
func labelsOf(rows []wiring.Switch) []string {
	var labels []string
	for _, row := range rows {
		if row.Kind == wiring.Read && row.Line == "" && !slices.Contains(labels, row.Control[0].Label) {
			labels = append(labels, row.Control[0].Label)
		}
	}
	return labels
}

// rename gives every line a name that says nothing, and half of the labels.
func (s *shaper) rename(rows []wiring.Switch) {
	lines, labels := map[string]string{"": ""}, map[string]string{}
	line := func(name string) string {
		if _, known := lines[name]; !known {
			lines[name] = s.newLine()
		}
		return lines[name]
	}
	for i, label := range s.labels {
		labels[label] = label
		if s.IntN(2) == 0 {
			s.labels[i] = fmt.Sprint("label-", i+1)
			labels[label] = s.labels[i]
		}
	}
	s.rows = slices.Clone(rows)
	for i := range s.rows {
		row := &s.rows[i]
		row.Line, row.To = line(row.Line), line(row.To)
		row.Control = slices.Clone(row.Control)
		for k, l := range row.Control {
			if known, ok := labels[l.Label]; ok {
				row.Control[k].Label = known
			}
		}
	}
}

func (s *shaper) newLine() string {
	s.lines++
	return fmt.Sprint("line-", s.lines)
}

// piece is the run i to j-1 of a row.
func piece(row wiring.Switch, i, j int) wiring.Switch {
	if row.Line != "" {
		row.Notes = row.Notes[i:j:j]
	}
	if row.Kind == wiring.Couple {
		row.ToNotes = row.ToNotes[i:j:j]
	} else {
		row.Pins = row.Pins[i:j:j]
	}
	return row
}

// halves splits a row in two; a row that picks stays whole.
func (s *shaper) halves(row wiring.Switch) {
	if row.Picks != console.PicksAll || row.Len() < 2 {
		s.out = append(s.out, row)
		return
	}
	cut := 1 + s.IntN(row.Len()-1)
	s.out = append(s.out, piece(row, 0, cut), piece(row, cut, row.Len()))
}

// singles makes a row of every note.
func (s *shaper) singles(row wiring.Switch) {
	if row.Picks != console.PicksAll || row.Len() == 0 {
		s.out = append(s.out, row)
		return
	}
	for i := range row.Len() {
		s.out = append(s.out, piece(row, i, i+1))
	}
}

// detour sends a row over a line of its own, on either half of its way.
func (s *shaper) detour(row wiring.Switch) {
	if row.Kind == wiring.Read || row.Line == "" {
		s.out = append(s.out, row)
		return
	}
	first := wiring.Switch{Kind: wiring.Couple, Line: row.Line, Notes: row.Notes, To: s.newLine(), ToNotes: row.Notes, Picks: row.Picks}
	second := row
	second.Line, second.Picks = first.To, console.PicksAll
	if row.Picks != console.PicksAll || s.IntN(2) == 0 {
		first.Control, second.Control = row.Control, nil
	}
	s.out = append(s.out, first, second)
}

// cases makes two rows of one: for another control on, and for it off.
func (s *shaper) cases(row wiring.Switch) {
	if row.Kind == wiring.Read || len(s.labels) == 0 {
		s.out = append(s.out, row)
		return
	}
	label := s.labels[s.IntN(len(s.labels))]
	on, off := row, row
	on.Control = append(slices.Clone(row.Control), wiring.Literal{Label: label})
	off.Control = append(slices.Clone(row.Control), wiring.Literal{Label: label, Not: true})
	s.out = append(s.out, on, off)
}

// stirred changes the order of a row's notes and of its literals.
func (s *shaper) stirred(row wiring.Switch) wiring.Switch {
	row.Control = slices.Clone(row.Control)
	s.Shuffle(len(row.Control), func(i, j int) { row.Control[i], row.Control[j] = row.Control[j], row.Control[i] })
	if s.IntN(3) > 0 {
		return row
	}
	row.Notes, row.ToNotes, row.Pins = slices.Clone(row.Notes), slices.Clone(row.ToNotes), slices.Clone(row.Pins)
	slices.Reverse(row.Notes)
	slices.Reverse(row.ToNotes)
	slices.Reverse(row.Pins)
	return row
}
