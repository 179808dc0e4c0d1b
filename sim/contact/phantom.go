package contact

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/wiring"
)

// Phantom is a crossing that is read while its contact is open.
type Phantom struct {
	Crossing int
	Chord    []int // the fewest presses that raise it, playable ones where there are such
	Playable bool
	Unsure   bool // the search for a playable chord was given up
}

// Phantoms are the phantom keys of a scan: crossings that something can close
// and that are read while nothing does.
func (s *Scan) Phantoms() []Phantom {
	var list []Phantom
	for crossing, closers := range s.closers {
		if closers == nil {
			continue
		}
		chord, found, _ := s.chord(crossing, nil)
		if !found {
			continue
		}
		p := Phantom{Crossing: crossing, Chord: chord, Playable: s.playable(chord)}
		if !p.Playable {
			chord, found, gaveUp := s.chord(crossing, s.playable)
			if p.Unsure = gaveUp; found {
				p.Chord, p.Playable = chord, true
			}
		}
		list = append(list, p)
	}
	return list
}

// Masked are the crossings that something closes and that are not read when
// nothing else is closed. Those that some chord makes read are among them.
func (s *Scan) Masked() []int {
	var list []int
	for crossing, closers := range s.closers {
		for _, press := range closers {
			if !s.Read(s.Presses[press].Closes)[crossing] {
				list = append(list, crossing)
				break
			}
		}
	}
	return list
}

// playable reports whether a player can hold the keys among some presses; what
// is not a key stays where it is put.
func (s *Scan) playable(presses []int) bool {
	var keys []console.Key
	for _, p := range presses {
		if item := s.Presses[p].Item; item.Kind == wiring.KeyKind || item.Kind == wiring.Key2Kind {
			if key := (console.Key{Keyboard: item.Index, Note: console.Note(item.Note)}); !slices.Contains(keys, key) {
				keys = append(keys, key)
			}
		}
	}
	return Playable(s.in, keys)
}

func (s *Scan) findings() []finding.Finding {
	return slices.Concat(s.touching(), s.phantomFindings(), s.maskedFindings())
}

// touching says which wires touch.
func (s *Scan) touching() []finding.Finding {
	var found []finding.Finding
	for w, first := range s.wire {
		if w != first {
			found = append(found, finding.Finding{Rule: PhantomKey, Severity: finding.Error, Place: s.at,
				Message: fmt.Sprintf("%s: %s and %s touch, so every contact of one is read for the other too", s.board(), s.wireName(first), s.wireName(w)),
				Fix:     "find where the two wires touch and part them"})
		}
	}
	return found
}

func (s *Scan) phantomFindings() []finding.Finding {
	phantoms := s.Phantoms()
	if len(phantoms) == 0 {
		return nil
	}
	best := phantoms[0]
	f := finding.Finding{Rule: PhantomKey, Severity: finding.Warning, Place: s.at, Fix: s.diodeFix()}
	playable := 0
	for _, p := range phantoms {
		if p.Playable {
			playable++
		}
		if p.Playable && !best.Playable || p.Playable == best.Playable && len(p.Chord) < len(best.Chord) {
			best = p
		}
		f.Related = append(f.Related, finding.Related{Place: s.where[p.Crossing], Message: s.raised(p)})
	}
	if playable > 0 {
		f.Severity = finding.Error
	}
	f.Message = fmt.Sprintf("%s reads %d contacts that are open, %d of them in chords that can be played: %s", s.board(), len(phantoms), playable, s.raised(best))
	return []finding.Finding{f}
}

// diodeFix says where diodes are to be put in or turned round; with all of them
// right, wires touch.
func (s *Scan) diodeFix() string {
	var pins [Reversed + 1][]int
	for crossing, d := range s.Diodes {
		pins[d] = append(pins[d], crossing+1)
	}
	at := func(list []int) string { return s.board() + "." + wiring.FormatNumbers(list) }
	switch missing, reversed := pins[Missing], pins[Reversed]; {
	case missing == nil && reversed == nil:
		return "part the wires that touch"
	case reversed == nil:
		return "put a diode in at " + at(missing)
	case missing == nil:
		return "turn the diode round at " + at(reversed)
	default:
		return "put a diode in at " + at(missing) + ", turn it round at " + at(reversed)
	}
}

// raised says which chord raises a phantom.
func (s *Scan) raised(p Phantom) string {
	var names []string
	for _, press := range p.Chord {
		names = append(names, s.name(press))
	}
	closed := "are closed"
	if len(names) == 1 {
		closed = "is closed"
	}
	text := fmt.Sprintf("%s is read while only %s %s", s.names(p.Crossing), strings.Join(names, " "), closed)
	switch {
	case p.Unsure:
		text += ", which no hands can hold; whether others raise it was not decided"
	case !p.Playable:
		text += ", which no hands can hold"
	}
	return text
}

func (s *Scan) maskedFindings() []finding.Finding {
	var found []finding.Finding
	masked := s.Masked()
	for r, dead := range s.dead {
		in := slices.DeleteFunc(slices.Clone(masked), func(crossing int) bool { return crossing/s.Columns != r })
		if dead && len(in) > 0 {
			masked = slices.DeleteFunc(masked, func(crossing int) bool { return crossing/s.Columns == r })
			found = append(found, finding.Finding{Rule: MaskedKey, Severity: finding.Error, Place: s.where[in[0]],
				Message: fmt.Sprintf("%s: %s leads nowhere, so none of its %d contacts is read, from %s to %s", s.board(), s.wireName(r), len(in), s.names(in[0]), s.names(in[len(in)-1])),
				Fix:     "connect the row's wire"})
		}
	}
	for _, crossing := range masked {
		found = append(found, finding.Finding{Rule: MaskedKey, Severity: finding.Error, Place: s.where[crossing],
			Message: fmt.Sprintf("%s.%d: %s is not read when it is closed", s.board(), crossing+1, s.names(crossing)),
			Fix:     "turn the diode of this crossing round"})
	}
	return found
}

func (s *Scan) board() string { return s.relay.Boards[s.Board].ID }

func (s *Scan) wireName(w int) string {
	if w < s.Rows {
		return fmt.Sprintf("row %d", w+1)
	}
	return fmt.Sprintf("column %d", w-s.Rows+1)
}

// names is what closes a crossing.
func (s *Scan) names(crossing int) string {
	var names []string
	for i, p := range s.Presses {
		if slices.Contains(p.Closes, crossing) && !(p.Item.Kind == wiring.Key2Kind && len(names) > 0) {
			names = append(names, s.name(i))
		}
	}
	return strings.Join(names, " or ")
}

// name is a press as files write it: great:C4, great:C4:2, choir-flute-8.
func (s *Scan) name(press int) string {
	item := s.Presses[press].Item
	switch item.Kind {
	case wiring.ControlKind:
		return s.in.Controls[item.Index].ID
	case wiring.ButtonKind:
		return s.in.Combination.Buttons[item.Index].ID
	case wiring.StageKind:
		return fmt.Sprintf("stage %d", item.Note)
	}
	name := s.in.Keyboards[item.Index].ID + ":" + console.Note(item.Note).String()
	if item.Kind == wiring.Key2Kind {
		name += ":2"
	}
	return name
}
