package mapping

import (
	"fmt"
	"strconv"

	"trundle/console"
)

// Name is a thing in the words of its instrument: great C4, bourdon:26,
// great-principal-8, crescendo stage.
func (t Thing) Name(in *console.Instrument) string {
	switch t.Kind {
	case Key:
		return in.Keyboards[t.Index].ID + " " + t.Note.String()
	case Second:
		return in.Keyboards[t.Index].ID + " " + t.Note.String() + " second contact"
	case Line:
		return in.Divisions[t.Index].ID + " line " + t.Note.String()
	case Valve:
		rank := in.Ranks[in.RankOf(t.Index)]
		return rank.ID + ":" + strconv.Itoa(t.Index-rank.First+1)
	case Control:
		return in.Controls[t.Index].ID
	case Button:
		return in.Combination.Buttons[t.Index].ID
	case Shoe:
		return in.Shoes[t.Index].ID
	}
	return "crescendo stage"
}

// Words is a signal in the words of its instrument: great C4 on.
func (s Signal) Words(in *console.Instrument) string {
	switch s.Kind {
	case Shoe:
		return fmt.Sprintf("%s at %d of %d", s.Name(in), s.Value, console.ShoeMost)
	case Stage:
		return s.Name(in) + " " + strconv.Itoa(s.Value)
	}
	return s.Name(in) + " " + [...]string{"off", "on"}[s.Value]
}

// String is a shape as a map writes it.
func (s shape) String() string {
	channel := fmt.Sprintf(" on channel %d", s.channel())
	switch s.status & 0xF0 {
	case noteOn:
		return "note " + strconv.Itoa(s.number) + channel
	case programChange:
		return "program " + strconv.Itoa(s.number) + channel
	case sysEx:
		text := "bytes F0"
		for i := range len(s.body) {
			if i == s.hole {
				text += " .."
			} else {
				text += fmt.Sprintf(" %02X", s.body[i])
			}
		}
		return text + " F7"
	}
	switch {
	case s.number >= firstNRPN:
		return "nrpn " + strconv.Itoa(s.number-firstNRPN) + channel
	case s.value != open:
		return fmt.Sprintf("bytes %02X %02X %02X", s.status, s.number, s.value)
	}
	return "controller " + strconv.Itoa(s.number) + channel
}

// String is a form as a map writes it.
func (f *form) String() string {
	switch {
	case f == nil:
		return ""
	case f.manner == apart:
		return "on: " + f.on.String() + ", off: " + f.off.String()
	case f.manner == press:
		return "press: " + f.on.String()
	case f.fine:
		return f.on.String() + ", fine"
	}
	return f.on.String()
}
