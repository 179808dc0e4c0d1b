package console

// Change is one key or control worked, or the transposer set.
type Change struct {
	kind  changeKind
	index int // keyboard, control, or semitones
	note  Note
	to    int // contacts made, or 1 for on
}

type changeKind uint8

const (
	keyChange changeKind = iota
	controlChange
	transposerChange
)

// KeyUp lets go of a key.
func KeyUp(k Key) Change { return Change{keyChange, k.Keyboard, k.Note, 0} }

// KeyDown holds a key down to its first contact.
func KeyDown(k Key) Change { return Change{keyChange, k.Keyboard, k.Note, 1} }

// KeyDeep holds a key down to its second contact, or as far as it goes.
func KeyDeep(k Key) Change { return Change{keyChange, k.Keyboard, k.Note, 2} }

// TurnOn and TurnOff say what a control is in the end: drawn, or added or
// dropped by something else (Instrument.On).
func TurnOn(control int) Change { return Change{kind: controlChange, index: control, to: 1} }

// TurnOff is the reverse of TurnOn.
func TurnOff(control int) Change { return Change{kind: controlChange, index: control} }

// TransposeTo sets the transposer, in semitones up.
func TransposeTo(semitones int) Change { return Change{kind: transposerChange, index: semitones} }

// Apply makes a set of changes as one and returns the valves whose state is
// another than before them: opened, closed, or with wind gained or lost while
// open; each once, in no order to rely on. What is already as a change says
// stays as it is. The slice holds until the next Apply.
func (s *Sounding) Apply(changes ...Change) []int {
	s.trails = nil

	// What turns in the way from keys to lines turns while no key is down.
	reroutes := false
	for _, c := range changes {
		reroutes = reroutes || s.reroutes(c)
	}
	if reroutes {
		s.everyContact(-1)
	}
	for _, c := range changes {
		switch c.kind {
		case keyChange:
			s.turnContact(first, c, c.to >= 1, reroutes)
			s.turnContact(second, c, c.to >= 2 && s.in.Keyboards[c.index].Touches == 2, reroutes)
		case controlChange:
			s.turnControl(c.index, c.to == 1)
		case transposerChange:
			s.transpose = c.index
		}
	}
	if reroutes {
		s.connect()
		s.everyContact(1)
	}
	s.followLines()
	return s.followValves()
}

// Set makes the changes that lead to a state, and returns what Apply does.
func (s *Sounding) Set(to State) []int {
	var changes []Change
	for m, keys := range s.held[first] {
		for n := range keys.all {
			changes = append(changes, KeyUp(Key{m, Note(n)}))
		}
	}
	for _, h := range to.Held {
		if h.Deep {
			changes = append(changes, KeyDeep(h.Key))
		} else {
			changes = append(changes, KeyDown(h.Key))
		}
	}
	for c, on := range s.in.On(to) {
		if on {
			changes = append(changes, TurnOn(c))
		} else {
			changes = append(changes, TurnOff(c))
		}
	}
	return s.Apply(append(changes, TransposeTo(to.Transpose))...)
}

// reroutes reports whether a change alters the way from keys to lines.
func (s *Sounding) reroutes(c Change) bool {
	switch c.kind {
	case controlChange:
		switch s.in.Controls[c.index].Kind {
		case CouplerControl, UnisonOffControl, TransferControl, DivideControl:
			return s.on[c.index] != (c.to == 1)
		}
	case transposerChange:
		return s.transpose != c.index
	}
	return false
}

// everyContact makes or breaks all contacts of held keys.
func (s *Sounding) everyContact(by int32) {
	for contact, keyboards := range s.held {
		for m, keys := range keyboards {
			for n := range keys.all {
				s.contact(contact, m, n, by)
			}
		}
	}
}

// turnContact makes or breaks one contact of the key that c names; while
// every contact is lifted it is only noted.
func (s *Sounding) turnContact(contact int, c Change, on, lifted bool) {
	if !AllNotes.Has(c.note) {
		return
	}
	held := &s.held[contact][c.index]
	n := int(c.note)
	if held.has(n) == on {
		return
	}
	held.put(n, on)
	switch {
	case lifted:
	case on:
		s.contact(contact, c.index, n, 1)
	default:
		s.contact(contact, c.index, n, -1)
	}
}

func (s *Sounding) turnControl(control int, on bool) {
	if s.on[control] == on {
		return
	}
	s.on[control] = on
	switch c := s.in.Controls[control]; c.Kind {
	case StopControl:
		s.turnStop(c.Index, on)
	case VentilControl:
		s.turnVentil(s.in.Ventils[c.Index], on)
	}
}
