package console

import (
	"fmt"
	"strings"
	"unicode"
)

// refusal says why an event makes no sense on this console, "" when it does.
func (m *Machine) refusal(e Event) string {
	switch e.Kind {
	case KeyEvent:
		return m.refuseKey(e)
	case DrawEvent, PushEvent, TouchEvent:
		return missing("control", e.Index, len(m.in.Controls))
	case ShoeEvent:
		if e.Value < 0 || e.Value > ShoeMost {
			return fmt.Sprintf("a shoe stands at 0 to %d, not %d", ShoeMost, e.Value)
		}
		return missing("shoe", e.Index, len(m.in.Shoes))
	case StageEvent:
		if e.Value < 0 || e.Value > m.stages() {
			return fmt.Sprintf("no stage %d: the crescendo has 0 to %d", e.Value, m.stages())
		}
	case SequenceEvent:
		return missing("sequence", e.Index, len(m.stageDoes))
	case TransposeEvent:
		if reach := m.in.Transposer; e.Value < reach.Low || e.Value > reach.High {
			return fmt.Sprintf("the transposer reaches from %d to %d, not %d", reach.Low, reach.High, e.Value)
		}
	case SpeedEvent:
		if why := missing("tremulant", e.Index, len(m.in.Tremulants)); why != "" {
			return why
		}
		if t := m.in.Tremulants[e.Index]; e.Value < 1 || e.Value > len(t.Speeds) {
			return fmt.Sprintf("%s has %d speeds to choose from, not a speed %d", t.ID, len(t.Speeds), e.Value)
		}
	case TuttiEvent, TickEvent:
	default:
		return fmt.Sprintf("%s needs a combination action", e.Kind)
	}
	return ""
}

func (m *Machine) refuseKey(e Event) string {
	if why := missing("keyboard", e.Index, len(m.in.Keyboards)); why != "" {
		return why
	}
	keyboard := m.in.Keyboards[e.Index]
	switch {
	case !keyboard.Keys.Has(e.Note):
		return fmt.Sprintf("%s has no key %s: its keys are %s", keyboard.ID, e.Note, keyboard.Keys)
	case e.Value < 0 || e.Value > 2:
		return fmt.Sprintf("a key makes 0, 1 or 2 contacts, not %d", e.Value)
	case strings.ContainsFunc(e.Text, unicode.IsSpace):
		return fmt.Sprintf("a source of key events is one word, not %q", e.Text)
	case m.source(e.Text) == None:
		return fmt.Sprintf("%s is one source too many: %d may hold keys", e.Text, mostSources)
	}
	return ""
}

func missing(kind string, index, count int) string {
	if index >= 0 && index < count {
		return ""
	}
	return fmt.Sprintf("no %s %d: there are %d", kind, index+1, count)
}
