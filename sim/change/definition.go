package change

import (
	"fmt"
	"slices"

	"trundle/console"
)

// definition is what a coupler, a unison off or another control that works
// keys and lines says, in ids; "" where a side has no such control. Names are
// left out. It tells which of the controls of an example is the one that was
// changed.
func (s side) definition(id string) string {
	at := s.at("control", id)
	if at < 0 {
		return ""
	}
	division := func(d int) string { return s.Divisions[d].ID }
	keyboard := func(k int) string {
		if k == console.None {
			return "own"
		}
		return s.Keyboards[k].ID
	}
	switch i := s.Controls[at].Index; s.Controls[at].Kind {
	case console.CouplerControl:
		c := s.Couplers[i]
		return fmt.Sprint("couples ", keyboard(c.Keyboard), division(c.Division), c.Shift, c.Carries, c.Picks, c.Keys, c.Touch)
	case console.UnisonOffControl:
		u := s.UnisonOffs[i]
		return fmt.Sprint("silences ", division(u.Division), u.Cuts)
	case console.TransferControl:
		t := s.Transfers[i]
		return fmt.Sprint("exchanges ", keyboard(t.Keyboards[0]), keyboard(t.Keyboards[1]))
	case console.DivideControl:
		d := s.Divides[i]
		return fmt.Sprint("divides ", keyboard(d.Keyboard), d.Split)
	}
	return "stop or wind"
}

// culprits are those of some controls that are not defined as they were.
func (c *comparison) culprits(ids []string) []string {
	return slices.DeleteFunc(slices.Clone(ids), func(id string) bool { return c.old.definition(id) == c.new.definition(id) })
}

// keyboardChanged reports whether a keyboard has other keys than it had.
func (c *comparison) keyboardChanged(id string) bool {
	a, b := c.old.at("keyboard", id), c.new.at("keyboard", id)
	return a < 0 || b < 0 || c.old.Keyboards[a].Keys != c.new.Keyboards[b].Keys || c.old.Keyboards[a].Touches != c.new.Keyboards[b].Touches
}
