// Package combination is the whole console that a desk, a MIDI port or a test
// drives: the machine of package console with pistons, memories, crescendo,
// reversibles and a sequencer around it. It does no I/O: a capture has the
// effect `save`, which the caller answers. File keeps memories on disk, Load and
// Export read and write tables of them; no other part knows of files.
package combination

import (
	"slices"
	"time"

	"trundle/console"
)

// Console is a console with its combination action.
type Console struct {
	in      *console.Instrument
	machine *console.Machine
	now     time.Duration
	buttons []console.Button
	takes   [][]int // by button: controls it may move

	memories *Memories // as they are on disk
	undo     []undo
	memory   int  // the current one, from 1
	set      bool // the set piston is held
	obey     bool // coils move their knobs at once

	knobs   []knob // by control
	moving  int    // knobs under way
	waiting []func()

	saves    []change // the first is being saved
	saving   *Memories
	saveMade int

	place console.Slot    // of the sequencer; Button is None before the first general
	lit   []*wants        // by button: lamp on, and what its knobs must stay at
	lamps []bool          // by button: lamps that show a state
	batch []console.Event // knobs that move at once
	out   []console.Effect
}

// New is the console of an instrument that has no errors, with its memories
// as they were read (nil: none was ever set). Everything is off.
func New(in *console.Instrument, memories *Memories) *Console {
	if memories == nil {
		memories = NewMemories(in)
	}
	c := &Console{
		in:       in,
		machine:  console.NewMachine(in),
		memories: memories,
		memory:   1,
		knobs:    make([]knob, len(in.Controls)),
		place:    console.Slot{Memory: 1, Button: console.None},
	}
	if in.Combination != nil {
		c.buttons = in.Combination.Buttons
	}
	c.takes = make([][]int, len(c.buttons))
	for b, button := range c.buttons {
		c.takes[b] = movable(in, scope(in, button))
	}
	c.lit = make([]*wants, len(c.buttons))
	c.lamps = make([]bool, len(c.buttons))
	c.blinds(memories)
	return c
}

// scope is what a general, divisional or cancel takes.
func scope(in *console.Instrument, b console.Button) []int {
	if b.Kind != console.Cancel {
		return in.Takes(b)
	}
	if b.Division != console.None {
		return in.Takes(console.Button{Kind: console.Divisional, Division: b.Division, Scope: console.ScopeOwn, Leaves: b.Leaves})
	}
	var all []int
	for c := range in.Controls {
		if !slices.Contains(b.Leaves, c) {
			all = append(all, c)
		}
	}
	return all
}

// movable leaves out the controls that only the player moves.
func movable(in *console.Instrument, controls []int) []int {
	var list []int
	for _, c := range controls {
		if in.Controls[c].Style != console.Fixed {
			list = append(list, c)
		}
	}
	return list
}

// Do lets time pass to `at` and does what an event says. The effects hold
// until the next call. A time before the last counts as it.
func (c *Console) Do(at time.Duration, e console.Event) []console.Effect {
	c.out = c.out[:0]
	for due, ok := c.Next(); ok && due <= at; due, ok = c.Next() {
		c.now = max(c.now, due)
		c.machineDo(console.Event{Kind: console.TickEvent})
		c.overdue()
	}
	c.now = max(c.now, at)
	if why := c.refusal(e); why != "" {
		c.effect(console.Effect{Kind: console.RefusedEffect, Text: why})
	} else {
		c.do(e)
	}
	if e.Kind == console.KeyEvent && len(c.waiting) == 0 {
		return c.out // a key moves no knob and lights no lamp
	}
	for c.moving == 0 && len(c.waiting) > 0 {
		next := c.waiting[0]
		c.waiting = c.waiting[1:]
		next()
	}
	c.showStates()
	return c.out
}

func (c *Console) do(e console.Event) {
	switch e.Kind {
	case console.DrawEvent, console.PushEvent, console.TouchEvent:
		c.contact(e)
	case console.PressEvent:
		c.press(c.worker(e.Index))
	case console.ReleaseEvent:
		c.release(c.worker(e.Index))
	case console.ObeyEvent:
		c.obey = e.Value == 1
		c.letArrive()
	case console.MemoryEvent:
		c.toMemory(e.Value)
	case console.LockEvent, console.CopyEvent, console.SwapEvent, console.ClearEvent, console.InsertEvent:
		c.edit(e)
	case console.UndoEvent:
		c.undoLast()
	case console.SavedEvent:
		c.saved()
	case console.SaveFailedEvent:
		c.saveFailed(e.Text)
	default:
		c.machineDo(e)
	}
}

// worker is the button that does a button's work.
func (c *Console) worker(button int) int {
	if of := c.buttons[button].Repeats; of != console.None {
		return of
	}
	return button
}

// Next is when the console has something to do of itself: a pizzicato pulse
// ends, or a knob should have arrived. A tick event at that time lets it.
func (c *Console) Next() (time.Duration, bool) {
	due, ok := c.machine.Next()
	if c.moving == 0 {
		return due, ok
	}
	for i := range c.knobs {
		if k := &c.knobs[i]; k.moving && (!ok || k.due < due) {
			due, ok = k.due, true
		}
	}
	return due, ok
}

func (c *Console) machineDo(events ...console.Event) {
	c.out = c.machine.Do(c.out, c.now, events...)
}

func (c *Console) effect(e console.Effect) {
	e.At = c.now
	c.out = append(c.out, e)
}

// Machine is the console's keys, knobs and shoes, to look at.
func (c *Console) Machine() *console.Machine { return c.machine }

// Memories is what is captured and saved.
func (c *Console) Memories() *Memories { return c.memories }

// Memory is the current memory, from 1.
func (c *Console) Memory() int { return c.memory }

// Place is where the sequencer stands; Button is None before the first general.
func (c *Console) Place() console.Slot { return c.place }

// Lamp reports whether a button's lamp is lit.
func (c *Console) Lamp(button int) bool {
	b := c.worker(button)
	return c.lit[b] != nil || c.lamps[b]
}

// Moving is how many knobs are under way.
func (c *Console) Moving() int { return c.moving }

// Stuck reports whether a control did not arrive where a button sent it.
func (c *Console) Stuck(control int) bool { return c.knobs[control].stuck }

// Saving is what the last save effect that has no answer yet asks to be saved,
// nil without one.
func (c *Console) Saving() *Memories { return c.saving }
