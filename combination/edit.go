package combination

import (
	"fmt"

	"trundle/console"
)

// edit locks a memory, or copies, swaps, clears or inserts combinations.
func (c *Console) edit(e console.Event) {
	if e.Kind == console.LockEvent {
		c.lock(e.From.Memory, e.Value == 1)
		return
	}
	from, to := c.primary(e.From), console.Slot{Memory: e.From.Memory, Button: console.None}
	if e.Kind == console.CopyEvent || e.Kind == console.SwapEvent {
		to = c.primary(e.To)
	}
	name, other := c.in.SlotText(from), c.in.SlotText(to)
	ch := change{refuses: func(m *Memories) string { return c.forbids(m, e.Kind, from, to) }}
	switch e.Kind {
	case console.CopyEvent:
		ch.done = fmt.Sprintf("copied %s to %s", name, other)
		ch.makes = func(m *Memories) *Memories { return m.copied(from, to) }
	case console.SwapEvent:
		ch.done = fmt.Sprintf("swapped %s and %s", name, other)
		ch.makes = func(m *Memories) *Memories { return m.swapped(from, to) }
	case console.ClearEvent:
		ch.done = "cleared " + name
		ch.makes = func(m *Memories) *Memories { return m.cleared(from) }
	case console.InsertEvent:
		c.insert(from, ch)
		return
	}
	c.save(ch)
}

func (c *Console) lock(memory int, on bool) {
	done := "unlocked"
	if on {
		done = "locked"
	}
	c.save(change{
		makes: func(m *Memories) *Memories { return m.withLock(memory, on) },
		done:  fmt.Sprintf("%s memory %d", done, memory),
	})
}

// primary is a slot with the button that does the work.
func (c *Console) primary(s console.Slot) console.Slot {
	if s.Button != console.None {
		s.Button = c.worker(s.Button)
	}
	return s
}

// forbids says why combinations of memories cannot be changed so, "" when they
// can.
func (c *Console) forbids(m *Memories, kind console.EventKind, from, to console.Slot) string {
	two := kind == console.CopyEvent || kind == console.SwapEvent
	switch {
	case two && (from.Button == console.None) != (to.Button == console.None):
		return "a combination and a whole memory cannot take each other's place"
	case kind != console.CopyEvent && m.Locked(from.Memory):
		return fmt.Sprintf("memory %d is locked: nothing changed", from.Memory)
	case two && m.Locked(to.Memory):
		return fmt.Sprintf("memory %d is locked: nothing changed", to.Memory)
	case kind == console.CopyEvent && from.Button != console.None && m.Combination(from) == nil:
		return c.in.SlotText(from) + " was never set: nothing to copy"
	}
	return ""
}

// insert sets a general to what is drawn, and moves what it and those behind
// it held up by one; fixed ones are passed over. The last must be free, so that
// none is lost.
func (c *Console) insert(at console.Slot, ch change) {
	var behind []console.Slot
	for _, b := range c.generals() {
		if (b == at.Button || len(behind) > 0) && !c.buttons[b].Fixed {
			behind = append(behind, console.Slot{Memory: at.Memory, Button: b})
		}
	}
	if len(behind) == 0 {
		c.says("only a general can be inserted, not %s", c.in.SlotText(at))
		return
	}
	forbids, last := ch.refuses, behind[len(behind)-1]
	ch.refuses = func(m *Memories) string {
		why := forbids(m)
		if why == "" && m.Combination(last) != nil {
			why = c.in.SlotText(last) + " is set and would be lost: clear it first"
		}
		return why
	}
	ch.done = "inserted " + c.in.SlotText(at)
	c.whenStill(func() {
		set := c.drawn(c.takes[at.Button], nil)
		ch.makes = func(m *Memories) *Memories { return m.inserted(behind, set) }
		c.save(ch)
	})
}
