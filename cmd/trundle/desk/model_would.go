package desk

import (
	"fmt"

	"trundle/console"
)

// where says what the cursor is on and what would be done there, and how the
// script goes on.
func (m *Model) where() string {
	if m.demo != nil {
		return fmt.Sprintf("%s on, %s back, %s writes it, %s leaves", m.firstKey("step"), m.firstKey("back"), m.firstKey("write"), m.firstKey("leave"))
	}
	if text := m.scriptText(); text != "" {
		return text
	}
	name := m.itemName(m.cursor)
	if m.marked.Memory > 0 {
		if to, ok := m.slotOf(m.cursor); ok && to != m.marked {
			return fmt.Sprintf("%s: %s copies %s here, %s swaps them", name, m.firstKey("copy"), m.in.SlotText(m.marked), m.firstKey("swap"))
		}
	}
	work := m.firstKey("work")
	if o := m.outlook(); o != nil {
		return name + ": " + o.text(work)
	}
	if would := m.would(m.cursor); would != "" {
		return name + ": " + work + " " + would
	}
	switch m.cursor.Kind {
	case MemoryItem:
		locks := "locks"
		if m.console.Memories().Locked(m.console.Memory()) {
			locks = "unlocks"
		}
		return fmt.Sprintf("%s: %s and %s change it, %s %s it", name, m.firstKey("more"), m.firstKey("less"), m.firstKey("lock"), locks)
	case ShoeItem, CrescendoItem, SequenceItem, TransposerItem, SpeedItem:
		return fmt.Sprintf("%s: %s and %s move it", name, m.firstKey("more"), m.firstKey("less"))
	}
	return name
}

// would is what working an item would do now, "" for what has an outlook or
// stages.
func (m *Model) would(i Item) string {
	machine := m.console.Machine()
	switch i.Kind {
	case KeyItem:
		switch contacts := m.held[holding{i.key(), byHand}]; {
		case contacts == 0:
			return "holds it"
		case contacts < m.in.Keyboards[i.Index].Touches:
			return "holds it to its second contact"
		}
		return "lets it go"
	case ControlItem:
		drawn, on := machine.Drawn(i.Index), machine.On(i.Index)
		switch {
		case drawn && !on:
			return "pushes it in; crescendo or tutti keeps it off"
		case drawn:
			return "pushes it in"
		case on:
			return "draws it; crescendo or tutti has it on already"
		}
		return "draws it"
	case SetItem, ButtonItem:
		switch set := i.Kind == SetItem || m.buttonKind(i.Index) == console.Set; {
		case set && m.setHeld:
			return "lets it go"
		case set:
			return "holds it until it is let go"
		}
		return "captures what is drawn" // set is held
	case PipeItem:
		return "says why it sounds"
	}
	return ""
}
