package combination

import (
	"strings"

	"trundle/console"
)

// change is something to be done to the memories once they are saved with it.
type change struct {
	makes  func(*Memories) *Memories
	done   string // what to say
	button int    // whose lamp to light, None
	undoes bool
}

// capture sets a button to what is drawn, when every knob has arrived.
func (c *Console) capture(b int) {
	if c.moving > 0 {
		c.waiting = append(c.waiting, func() { c.capture(b) })
		return
	}
	button := c.buttons[b]
	switch {
	case button.Fixed:
		c.says("%s is fixed: it captures nothing", button.ID)
		return
	case c.memories.Locked(c.memory):
		c.says("memory %d is locked: nothing captured; unlock it or take another", c.memory)
		return
	}
	slot := console.Slot{Memory: c.memory, Button: b}
	switch button.Kind {
	case console.General, console.Divisional:
		set := c.drawn(c.takes[b], c.memories.Combination(slot))
		c.save(change{
			makes:  func(m *Memories) *Memories { return m.with(slot, set) },
			done:   "captured " + c.in.SlotText(slot),
			button: b,
		})
	case console.TuttiKind:
		adds := c.drawnControls()
		c.save(change{
			makes:  func(m *Memories) *Memories { return m.withTutti(adds) },
			done:   "captured the tutti",
			button: console.None,
		})
	case console.CrescendoKind:
		c.captureStage()
	case console.Reversible:
		c.captureReversible(b)
	default:
		c.says("%s captures nothing", button.ID)
	}
}

func (c *Console) captureStage() {
	sequence, stage := c.machine.Crescendo()
	if stage == 0 {
		c.says("open the crescendo to the stage to be captured")
		return
	}
	adds := c.drawnControls()
	c.save(change{
		makes:  func(m *Memories) *Memories { return m.withStage(sequence, stage, adds) },
		done:   "captured the crescendo's stage",
		button: console.None,
	})
}

func (c *Console) captureReversible(b int) {
	drawn := c.drawnControls()
	if len(drawn) != 1 {
		c.says("draw the one control that %s should reverse, and no other", c.buttons[b].ID)
		return
	}
	c.save(change{
		makes:  func(m *Memories) *Memories { return m.withReversible(b, drawn[0]) },
		done:   "captured " + c.buttons[b].ID,
		button: console.None,
	})
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

func (c *Console) askSave() {
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
		c.undo = append(c.undo, c.memories)
		c.undo = c.undo[max(0, len(c.undo)-mostUndo):]
	}
	c.memories = c.saving
	c.blinds(c.memories)
	c.says("%s", ch.done)
	if ch.button != console.None {
		if set := c.combination(ch.button); set != nil && c.stands(set) {
			c.light(ch.button, c.wants(ch.button, set))
		}
	}
	c.saveNext()
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
	before := c.undo[len(c.undo)-1]
	c.save(change{makes: func(*Memories) *Memories { return before }, done: "undone", button: console.None, undoes: true})
}

// blinds lets tutti and crescendo do what was captured.
func (c *Console) blinds(m *Memories) {
	tutti, stages := m.blinds()
	c.out = c.machine.SetBlinds(c.out, tutti, stages)
}
