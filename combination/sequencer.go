package combination

import (
	"slices"

	"trundle/console"
)

// step goes on to the next general, or back to the one before, and presses it.
// At an end of a memory it stops, begins the memory again or goes on to the
// neighbouring memory, as the instrument's `end` says.
func (c *Console) step(by int) {
	generals := c.generals()
	if len(generals) == 0 {
		c.says("there is no general to step to")
		return
	}
	memory, last := c.place.Memory, len(generals)-1
	i := slices.Index(generals, c.place.Button)
	switch {
	case i < 0: // nowhere yet: forward to the first, back to the last
		memory, i = c.memory, 0
		if by < 0 {
			i = last
		}
	case i+by >= 0 && i+by <= last:
		i += by
	case c.end() == console.EndWrap:
		i = last - i
	case c.end() == console.EndNext && memory+by >= 1 && memory+by <= c.memoryCount():
		memory, i = memory+by, last-i
	default:
		c.says("the sequence ends here, at %s", c.in.SlotText(c.place))
		return
	}
	c.toMemory(memory)
	c.recallGeneral(generals[i])
}

func (c *Console) end() console.End { return c.in.Combination.End }

// generals are the buttons that the sequencer steps through.
func (c *Console) generals() []int {
	var list []int
	for b, button := range c.buttons {
		if button.Kind == console.General && button.Repeats == console.None {
			list = append(list, b)
		}
	}
	return list
}
