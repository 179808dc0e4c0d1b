package midiio

// Keys are keys that are held, by channel; the zero value is none.
type Keys struct {
	held [16][128]bool
	used [16]bool // channels that ever had a key
}

// Hear follows a message.
func (k *Keys) Hear(m Message) {
	switch channel := m.Channel() - 1; {
	case m.Kind.Releases():
		k.held = [16][128]bool{}
	case m.StartsNote():
		k.held[channel][m.A], k.used[channel] = true, true
	case m.EndsNote():
		k.held[channel][m.A] = false
	case m.silences():
		k.held[channel] = [128]bool{}
	}
}

// Silence are the messages that end every note: a note off for each key that
// is held, because not all hardware heeds anything else, then for each channel
// that had keys all notes off and all sound off, for keys that are held
// without our knowledge. (The order is common practice, no source; that every
// note on needs its own note off is MIDI 1.0, channel mode messages.)
func (k *Keys) Silence() []Message {
	list := k.offs()
	for channel, used := range k.used {
		if used {
			list = append(list, ControlChange(channel+1, AllNotesOff, 0), ControlChange(channel+1, AllSoundOff, 0))
		}
	}
	return list
}

// silences reports a channel mode message that ends the notes of its channel.
func (m Message) silences() bool {
	return m.is(controlChange) && (m.A == AllSoundOff || m.A >= AllNotesOff)
}

// Any reports whether a key is held.
func (k *Keys) Any() bool { return k.held != [16][128]bool{} }

// add adds what another has.
func (k *Keys) add(other Keys) {
	for channel := range k.held {
		k.used[channel] = k.used[channel] || other.used[channel]
		for key := range k.held[channel] {
			k.held[channel][key] = k.held[channel][key] || other.held[channel][key]
		}
	}
}

// Count is how many keys are held.
func (k *Keys) Count() (n int) {
	for channel := range k.held {
		for _, held := range k.held[channel] {
			if held {
				n++
			}
		}
	}
	return n
}

// offs are the note offs of the keys that are held.
func (k *Keys) offs() (list []Message) {
	for channel := range k.held {
		for key, held := range k.held[channel] {
			if held {
				list = append(list, NoteOff(channel+1, byte(key)))
			}
		}
	}
	return list
}
