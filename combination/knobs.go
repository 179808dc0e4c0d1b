package combination

import (
	"time"

	"trundle/console"
)

// knob is a control on its way to where a button sent it.
type knob struct {
	want   bool // where it should end
	moving bool // its coil was energized, and its contact has not answered
	to     bool // the coil: drawn, or pushed in
	again  bool // it was energized a second time
	stuck  bool // it did not answer, until it moves again
	due    time.Duration
}

// travel is how long a knob has to arrive.
func (c *Console) travel() time.Duration {
	ms := console.DefaultTravel
	if c.in.Combination != nil && c.in.Combination.Travel != 0 {
		ms = c.in.Combination.Travel
	}
	return time.Duration(ms) * time.Millisecond
}

// move sends controls to where they should be. One that is under way the other
// way is let arrive first: the last that was wanted of it counts.
func (c *Console) move(controls []int, on bool) {
	for _, control := range controls {
		k := &c.knobs[control]
		if k.moving && k.want != on {
			c.disturb(control, on)
		}
		k.want = on
		switch {
		case k.moving || c.machine.Drawn(control) == on:
		case c.in.Controls[control].Style == console.Lit || c.obey:
			if c.in.Controls[control].Style != console.Lit {
				c.coil(control, on)
			}
			if on {
				c.batch = append(c.batch, console.Draw(control))
			} else {
				c.batch = append(c.batch, console.Push(control))
			}
		default:
			c.coil(control, on)
			k.moving, k.to, k.again, k.due = true, on, false, c.now+c.travel()
			c.moving++
		}
	}
}

// arrive makes the moves that need no contact to answer, all as one.
func (c *Console) arrive() {
	if len(c.batch) == 0 {
		return
	}
	c.machineDo(c.batch...)
	for _, e := range c.batch {
		c.knobs[e.Index].stuck = false
		c.disturb(e.Index, e.Kind == console.DrawEvent)
	}
	c.batch = c.batch[:0]
}

// letArrive lets the knobs that are under way arrive when they have to obey.
func (c *Console) letArrive() {
	if !c.obey || c.moving == 0 {
		return
	}
	for control := range c.knobs {
		if k := &c.knobs[control]; k.moving {
			c.stop(k)
			c.move([]int{control}, k.want)
		}
	}
	c.arrive()
}

func (c *Console) coil(control int, on bool) {
	c.effect(console.Effect{Kind: console.CoilEffect, Index: control, Value: bit(on)})
}

// contact follows a contact that closed or opened: the truth about its knob.
func (c *Console) contact(e console.Event) {
	was := c.machine.Drawn(e.Index)
	c.machineDo(e)
	is := c.machine.Drawn(e.Index)
	if is == was {
		return
	}
	k := &c.knobs[e.Index]
	k.stuck = false
	if k.moving && is == k.to {
		c.stop(k)
		if k.want != is {
			c.move([]int{e.Index}, k.want)
			c.arrive()
		}
	}
	c.disturb(e.Index, is)
}

func (c *Console) stop(k *knob) {
	k.moving = false
	c.moving--
}

// overdue pulses the knobs once more that should have arrived by now, and
// lists those that were given a second pulse.
func (c *Console) overdue() {
	if c.moving == 0 {
		return
	}
	for control := range c.knobs {
		k := &c.knobs[control]
		if !k.moving || k.due > c.now {
			continue
		}
		switch {
		case k.want != k.to: // it never left where it is now wanted
			c.stop(k)
		case !k.again:
			k.again, k.due = true, c.now+c.travel()
			c.coil(control, k.to)
		default:
			c.stop(k)
			k.stuck = true
			c.effect(console.Effect{Kind: console.StuckEffect, Index: control, Value: bit(k.to)})
		}
	}
}

// headed is where a control will be drawn or not once knobs have arrived.
func (c *Console) headed(control int) bool {
	if k := c.knobs[control]; k.moving {
		return k.want
	}
	return c.machine.Drawn(control)
}

func bit(b bool) int {
	if b {
		return 1
	}
	return 0
}
