package combination

import (
	"fmt"
	"slices"

	"trundle/console"
)

func (c *Console) press(b int) {
	button := c.buttons[b]
	switch {
	case button.Kind == console.Set:
		c.set = true
	case c.set:
		c.capture(b)
	default:
		c.recall(b)
	}
}

func (c *Console) release(b int) {
	if c.buttons[b].Kind == console.Set {
		c.set = false
	}
}

// recall is a button pressed alone.
func (c *Console) recall(b int) {
	switch button := c.buttons[b]; button.Kind {
	case console.General:
		c.recallGeneral(b)
	case console.Divisional:
		c.recallCombination(b)
		for _, follower := range c.followers(b) {
			c.recallCombination(follower)
		}
	case console.Cancel:
		c.move(c.takes[b], false)
		c.arrive()
		if button.Division == console.None {
			c.machineDo(console.Event{Kind: console.TuttiEvent})
		}
	case console.Reversible:
		control := c.memories.reversed(button, b)
		if c.in.Controls[control].Style == console.Fixed {
			c.says("%s is fixed: only the hand moves it", c.in.Controls[control].ID)
			return
		}
		c.move([]int{control}, !c.headed(control))
		c.arrive()
	case console.TuttiKind:
		c.machineDo(console.Event{Kind: console.TuttiEvent, Value: bit(!c.machine.Tutti())})
	case console.Next:
		c.step(1)
	case console.Previous:
		c.step(-1)
	case console.MemoryUp:
		c.toMemory(c.memory + 1)
	case console.MemoryDown:
		c.toMemory(c.memory - 1)
	case console.CrescendoKind:
		if n := len(c.in.Crescendo); n > 0 {
			sequence, _ := c.machine.Crescendo()
			c.machineDo(console.Event{Kind: console.SequenceEvent, Index: (sequence + 1) % n})
		}
	}
}

func (c *Console) recallGeneral(b int) {
	place := console.Slot{Memory: c.memory, Button: b}
	if c.place != place {
		c.place = place
		c.effect(console.Effect{Kind: console.PlaceEffect, Value: c.memory, Index: b})
	}
	c.recallCombination(b)
}

// recallCombination moves the knobs of a general's or divisional's scope to
// what was captured, and lights its lamp.
func (c *Console) recallCombination(b int) {
	set := c.combination(b)
	if set == nil {
		c.says("%s was never set in memory %d: nothing moves", c.buttons[b].ID, c.memory)
		return
	}
	w := c.wants(b, set)
	c.move(w.off, false)
	c.move(w.on, true)
	c.arrive()
	c.light(b, w)
}

// combination is what a button was set to, by the builder or in the current
// memory; nil when it never was.
func (c *Console) combination(b int) *Combination {
	button := c.buttons[b]
	if !button.Fixed {
		return c.memories.Combination(console.Slot{Memory: c.memory, Button: b})
	}
	set := &Combination{On: button.Sets}
	for _, control := range c.takes[b] {
		if !slices.Contains(button.Sets, control) {
			set.Off = append(set.Off, control)
		}
	}
	return set
}

// followers are the divisionals that a divisional presses too: those of the
// same number of the divisions that a follow which is on lets follow.
func (c *Console) followers(b int) []int {
	var list []int
	for _, f := range c.in.Follows {
		if f.Division != c.buttons[b].Division || !c.machine.On(f.Control) {
			continue
		}
		number := slices.Index(c.divisionals(f.Division), b)
		if with := c.divisionals(f.With); number >= 0 && number < len(with) {
			list = append(list, with[number])
		}
	}
	return list
}

// divisionals are a division's divisionals, without those that repeat one.
func (c *Console) divisionals(division int) []int {
	var list []int
	for b, button := range c.buttons {
		if button.Kind == console.Divisional && button.Division == division && button.Repeats == console.None {
			list = append(list, b)
		}
	}
	return list
}

// toMemory changes the memory. No knob moves.
func (c *Console) toMemory(memory int) {
	switch {
	case memory < 1 || memory > c.memoryCount():
		c.says("there is no memory %d: there are %d", memory, c.memoryCount())
	case memory != c.memory:
		c.memory = memory
		c.effect(console.Effect{Kind: console.MemoryEffect, Value: memory})
	}
}

func (c *Console) says(format string, args ...any) {
	c.effect(console.Effect{Kind: console.SaysEffect, Text: fmt.Sprintf(format, args...)})
}

// memoryCount is how many memories the console has.
func (c *Console) memoryCount() int {
	if c.in.Combination == nil {
		return 1
	}
	return c.in.Combination.Memories
}
