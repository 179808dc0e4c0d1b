package change

import (
	"slices"

	"trundle/console"
	"trundle/sim/logic"
)

// lacks reports whether an example shows only what is gone or only what is new,
// and another shows the rest.
func (e *Example) lacks(other *Example) bool {
	return len(e.Before) == 0 && len(other.Before) > 0 || len(e.After) == 0 && len(other.After) > 0
}

// also looks for the other half of what was moved: of a coupler or a stop that
// is played by other keys now, a key by which it sounds now, or did.
func (c *comparison) also() {
	for i := range c.found {
		d := &c.found[i]
		if d.What != Changed || d.Example == nil || d.Also != nil || len(d.Example.Before) > 0 && len(d.Example.After) > 0 {
			continue
		}
		for _, s := range []side{c.new, c.old} {
			if d.Also = c.byKeysOf(s, d); d.Also != nil {
				break
			}
		}
	}
}

// byKeysOf tries the keys that play a coupler or a stop on one side, one by one,
// with what the example draws.
func (c *comparison) byKeysOf(s side, d *Difference) *Example {
	at := s.at("control", d.ID)
	if at < 0 {
		return nil
	}
	keyboard := console.None
	switch control := s.Controls[at]; control.Kind {
	case console.StopControl:
		keyboard = s.Divisions[s.Stops[control.Index].Division].Keyboard
	case console.CouplerControl:
		if keyboard = s.Couplers[control.Index].Keyboard; keyboard == console.None {
			keyboard = s.Divisions[s.Couplers[control.Index].Division].Keyboard
		}
	}
	if keyboard == console.None {
		return nil
	}
	var draw []logic.Node
	for n, name := range c.names[:c.minor] {
		if slices.Contains(d.Example.Draw, name) {
			draw = append(draw, logic.Node(n))
		}
	}
	keys := s.Keyboards[keyboard].Keys
	for n := keys.From; n <= keys.To; n++ {
		key := slices.Index(c.names, s.Keyboards[keyboard].ID+":"+n.String())
		if e := c.example(append(slices.Clone(draw), logic.Node(key))); e != nil && d.Example.lacks(e) {
			return e
		}
	}
	return nil
}
