package combination

import (
	"fmt"
	"strings"

	"trundle/console"
)

// change is something to be done to the memories once they are saved with it.
type change struct {
	refuses func(*Memories) string // why it cannot be made of memories, "" when it can; nil: it always can
	makes   func(*Memories) *Memories
	done    string        // what to say
	lights  *console.Slot // of the piston whose lamp to light, nil: none
	undoes  bool
}

// whenStill does something once every knob has arrived.
func (c *Console) whenStill(do func()) {
	if c.moving > 0 {
		c.waiting = append(c.waiting, do)
		return
	}
	do()
}

// capture sets a button to what is drawn when every knob has arrived: in the
// memory, or for the stage, that is at hand now.
func (c *Console) capture(b int) {
	button, slot := c.buttons[b], console.Slot{Memory: c.memory, Button: b}
	if button.Fixed {
		c.says("%s is fixed: it captures nothing", button.ID)
		return
	}
	ch := change{refuses: func(m *Memories) string {
		if m.Locked(slot.Memory) {
			return fmt.Sprintf("memory %d is locked: nothing captured; unlock it or take another", slot.Memory)
		}
		return ""
	}}
	switch button.Kind {
	case console.General, console.Divisional:
		c.whenStill(func() {
			set := c.drawn(c.takes[b], c.memories.Combination(slot))
			ch.makes = func(m *Memories) *Memories { return m.with(slot, set) }
			ch.done, ch.lights = "captured "+c.in.SlotText(slot), &slot
			c.save(ch)
		})
	case console.TuttiKind:
		c.whenStill(func() {
			adds := c.drawnControls()
			ch.makes = func(m *Memories) *Memories { return m.withTutti(adds) }
			ch.done = "captured the tutti"
			c.save(ch)
		})
	case console.CrescendoKind:
		c.captureStage(ch)
	case console.Reversible:
		c.whenStill(func() { c.captureReversible(b, ch) })
	default:
		c.says("%s captures nothing", button.ID)
	}
}

func (c *Console) captureStage(ch change) {
	sequence, stage := c.machine.Crescendo()
	if stage == 0 {
		c.says("open the crescendo to the stage to be captured")
		return
	}
	c.whenStill(func() {
		adds := c.drawnControls()
		ch.makes = func(m *Memories) *Memories { return m.withStage(sequence, stage, adds) }
		ch.done = "captured the crescendo's stage"
		c.save(ch)
	})
}

func (c *Console) captureReversible(b int, ch change) {
	drawn := c.drawnControls()
	if len(drawn) != 1 {
		c.says("draw the one control that %s should reverse, and no other", c.buttons[b].ID)
		return
	}
	ch.makes = func(m *Memories) *Memories { return m.withReversible(b, drawn[0]) }
	ch.done = "captured " + c.buttons[b].ID
	c.save(ch)
}

// drawn is a combination of controls as their contacts stand, which keeps what
// the one before it knew of controls this instrument does not have.
func (c *Console) drawn(controls []int, before *Combination) *Combination {
	set := &Combination{}
	for _, control := range controls {
		if c.machine.Drawn(control) {
			set.On = append(set.On, control)
		} else {
			set.Off = append(set.Off, control)
		}
	}
	if before != nil {
		set.StrangeOn, set.StrangeOff = before.StrangeOn, before.StrangeOff
	}
	return set
}

// drawnControls lists what is drawn.
func (c *Console) drawnControls() []int {
	var list []int
	for control := range c.in.Controls {
		if c.machine.Drawn(control) {
			list = append(list, control)
		}
	}
	return list
}

// save asks for a change to be saved, when those before it are.
func (c *Console) save(ch change) {
	c.saves = append(c.saves, ch)
	if len(c.saves) == 1 {
		c.askSave()
	}
}

// askSave asks for the first change that waits, unless those saved since it
// was asked for forbid it.
func (c *Console) askSave() {
	if refuses := c.saves[0].refuses; refuses != nil {
		if why := refuses(c.memories); why != "" {
			c.says("%s", why)
			c.saveNext()
			return
		}
	}
	c.saving = c.saves[0].makes(c.memories)
	c.saveMade++
	c.effect(console.Effect{Kind: console.SaveEffect, Value: c.saveMade})
}

// saved is the answer that what was asked for is on disk: only now it counts.
func (c *Console) saved() {
	ch := c.saves[0]
	if ch.undoes {
		c.undo = c.undo[:len(c.undo)-1]
	} else {
		c.undo = append(c.undo, undo{c.memories, ch.done})
		c.undo = c.undo[max(0, len(c.undo)-mostUndo):]
	}
	before := c.memories
	c.memories = c.saving
	c.outdate(before)
	c.blinds(c.memories)
	c.says("%s", ch.done)
	if at := ch.lights; at != nil && at.Memory == c.memory {
		if set := c.memories.Combination(*at); c.stands(set) {
			c.light(at.Button, c.wants(at.Button, set))
		}
	}
	c.saveNext()
}

// outdate puts out the lamps of pistons that hold something else by now, unless that
// is what is drawn.
func (c *Console) outdate(before *Memories) {
	for b, lit := range c.lit {
		slot := console.Slot{Memory: c.memory, Button: b}
		set := c.memories.Combination(slot)
		if lit != nil && set != before.Combination(slot) && (set == nil || !c.stands(set)) {
			c.darken(b)
		}
	}
}

// stands reports whether what is drawn is a combination, as it was a moment
// ago when it was captured.
func (c *Console) stands(set *Combination) bool {
	for _, control := range set.On {
		if !c.machine.Drawn(control) {
			return false
		}
	}
	for _, control := range set.Off {
		if c.machine.Drawn(control) {
			return false
		}
	}
	return true
}

func (c *Console) saveFailed(why string) {
	c.says("not saved, nothing changed: %s", strings.Join(strings.Fields(why), " "))
	c.saveNext()
}

func (c *Console) saveNext() {
	c.saves, c.saving = c.saves[1:], nil
	if len(c.saves) > 0 {
		c.askSave()
	}
}

// undo is what the memories were before a change, and what was said of that.
type undo struct {
	before *Memories
	done   string
}

// mostUndo is how many changes can be taken back.
const mostUndo = 100

// undoLast takes the last change back, when those being saved are.
func (c *Console) undoLast() {
	if len(c.saves) > 0 {
		c.says("the last change is still being saved: undo it then")
		return
	}
	if len(c.undo) == 0 {
		c.says("there is nothing to undo")
		return
	}
	last := c.undo[len(c.undo)-1]
	c.save(change{makes: func(*Memories) *Memories { return last.before }, done: "undone: " + last.done, undoes: true})
}

// blinds lets tutti and crescendo do what was captured.
func (c *Console) blinds(m *Memories) {
	tutti, stages := m.blinds()
	c.out = c.machine.SetBlinds(c.out, tutti, stages)
}
