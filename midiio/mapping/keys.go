package mapping

import "trundle/midiio"

// IsKey reports whether a message that goes to the organ is about a key, a line
// or a valve: what sounds until it is ended. Other notes stand for controls.
func (m *Map) IsKey(message midiio.Message) bool {
	d := m.heard[ToOrgan].decoder()
	of, _, known := d.look(message)
	if !known {
		return false
	}
	switch m.Entries[of.entry].Kind {
	case Key, Second, Line, Valve:
		return true
	}
	return false
}
