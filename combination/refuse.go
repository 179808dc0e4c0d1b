package combination

import (
	"fmt"

	"trundle/console"
)

// refusal says why an event of the combination action makes no sense on this
// console, "" when it does. What the machine does, the machine refuses.
func (c *Console) refusal(e console.Event) string {
	switch e.Kind {
	case console.DrawEvent, console.PushEvent, console.TouchEvent:
		if e.Index < 0 || e.Index >= len(c.in.Controls) {
			return fmt.Sprintf("no control %d: there are %d", e.Index+1, len(c.in.Controls))
		}
	case console.PressEvent, console.ReleaseEvent:
		return c.refuseButton(e.Index)
	case console.LockEvent:
		return c.refuseMemory(e.From.Memory)
	case console.ClearEvent, console.InsertEvent:
		return c.refuseSlot(e.From)
	case console.CopyEvent, console.SwapEvent:
		if why := c.refuseSlot(e.From); why != "" {
			return why
		}
		return c.refuseSlot(e.To)
	case console.SavedEvent, console.SaveFailedEvent:
		if c.saving == nil || e.Value != c.saveMade {
			return fmt.Sprintf("no save %d is waiting for an answer", e.Value)
		}
	}
	return ""
}

func (c *Console) refuseButton(b int) string {
	if b < 0 || b >= len(c.buttons) {
		return fmt.Sprintf("no button %d: there are %d", b+1, len(c.buttons))
	}
	return ""
}

func (c *Console) refuseMemory(memory int) string {
	if memory < 1 || memory > c.memoryCount() {
		return fmt.Sprintf("no memory %d: there are %d", memory, c.memoryCount())
	}
	return ""
}

func (c *Console) refuseSlot(s console.Slot) string {
	if why := c.refuseMemory(s.Memory); why != "" || s.Button == console.None {
		return why
	}
	if why := c.refuseButton(s.Button); why != "" {
		return why
	}
	button := c.buttons[c.worker(s.Button)]
	if button.Kind != console.General && button.Kind != console.Divisional {
		return fmt.Sprintf("%s keeps no combination: it is no general and no divisional", button.ID)
	}
	if button.Fixed {
		return fmt.Sprintf("%s is fixed: it keeps nothing else", button.ID)
	}
	return ""
}
