package combination

import (
	"slices"

	"trundle/console"
)

// wants is what a lit piston's knobs must stay at for its lamp to stay lit.
type wants struct {
	on, off []int
	known   []int // both, in order
}

// wants is the part of a combination that lies in a button's scope today.
func (c *Console) wants(b int, set *Combination) *wants {
	w := &wants{known: c.takes[b]}
	for _, control := range set.On {
		if _, in := slices.BinarySearch(c.takes[b], control); in {
			w.on = append(w.on, control)
		}
	}
	for _, control := range set.Off {
		if _, in := slices.BinarySearch(c.takes[b], control); in {
			w.off = append(w.off, control)
		}
	}
	return w
}

// light lights a piston's lamp, and puts out that of the piston pressed before
// it: the general, or the divisional of the same division.
func (c *Console) light(b int, w *wants) {
	for other := range c.lit {
		o, button := c.buttons[other], c.buttons[b]
		if other != b && c.lit[other] != nil && o.Kind == button.Kind && o.Division == button.Division {
			c.darken(other)
		}
	}
	if c.lit[b] == nil {
		c.effect(console.Effect{Kind: console.LampEffect, Index: b, Value: 1})
	}
	c.lit[b] = w
}

func (c *Console) darken(b int) {
	c.lit[b] = nil
	c.effect(console.Effect{Kind: console.LampEffect, Index: b})
}

// disturb puts out the lamps of pistons that have a control in scope which
// moves to where they did not send it.
func (c *Console) disturb(control int, drawn bool) {
	for b, w := range c.lit {
		if w == nil {
			continue
		}
		if _, in := slices.BinarySearch(w.known, control); !in {
			continue
		}
		stays := w.off
		if drawn {
			stays = w.on
		}
		if !slices.Contains(stays, control) {
			c.darken(b)
		}
	}
}

// showStates lets the lamps of set, tuttis and reversibles show what is.
func (c *Console) showStates() {
	for b, button := range c.buttons {
		var is bool
		switch {
		case button.Repeats != console.None:
		case button.Kind == console.Set:
			is = c.set
		case button.Kind == console.TuttiKind:
			is = c.machine.Tutti()
		case button.Kind == console.Reversible:
			is = c.machine.Drawn(c.memories.reversed(button, b))
		}
		if is != c.lamps[b] {
			c.lamps[b] = is
			c.effect(console.Effect{Kind: console.LampEffect, Index: b, Value: bit(is)})
		}
	}
}
