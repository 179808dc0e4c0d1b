package console

import "slices"

// sourceSet is who holds a key, a bit each.
type sourceSet uint64

// mostSources is how many sources of key events one console tells apart.
const mostSources = 64

// keyState is who makes the contacts of one key.
type keyState struct {
	first, second  sourceSet
	kept, keptDeep int // sostenutos that keep it down, and to its second contact
}

// contacts is how many contacts are made.
func (k keyState) contacts() int {
	switch {
	case k.second != 0 || k.keptDeep > 0:
		return 2
	case k.first != 0 || k.kept > 0:
		return 1
	}
	return 0
}

// keep counts a sostenuto that keeps the key down, or no longer does.
func (k *keyState) keep(held Held, by int) {
	k.kept += by
	if held.Deep {
		k.keptDeep += by
	}
}

func (m *Machine) keyIndex(k Key) int { return k.Keyboard*noteCount + int(k.Note) }

// source is the bit of a source, None when there are too many.
func (m *Machine) source(name string) int {
	i := slices.Index(m.sources, name)
	if i < 0 && len(m.sources) < mostSources {
		m.sources = append(m.sources, name)
		return len(m.sources) - 1
	}
	return i
}

// key makes so many contacts of a key for one source.
func (m *Machine) key(k Key, contacts, source int) {
	state := &m.keys[m.keyIndex(k)]
	before := state.contacts()
	bit := sourceSet(1) << source
	state.first, state.second = state.first&^bit, state.second&^bit
	if contacts >= 1 {
		state.first |= bit
	}
	if contacts >= 2 {
		state.second |= bit
	}
	m.keyFrom(k, before)
}

// keyFrom notes that the contacts of a key are others than they were.
func (m *Machine) keyFrom(k Key, before int) {
	switch now := m.keys[m.keyIndex(k)].contacts(); {
	case now == before:
	case now == 0:
		m.changes = append(m.changes, KeyUp(k))
	case now == 1:
		m.changes = append(m.changes, KeyDown(k))
	default:
		m.changes = append(m.changes, KeyDeep(k))
	}
}

// sustain keeps down the keys that are held when a sostenuto comes on, and
// lets go of them when it goes off.
func (m *Machine) sustain(sostenuto int, on bool) {
	if on {
		for _, keyboard := range m.in.Sostenutos[sostenuto].Keyboards {
			for n := range Note(noteCount) {
				held := Held{Key: Key{keyboard, n}}
				state := &m.keys[m.keyIndex(held.Key)]
				if state.first == 0 {
					continue
				}
				held.Deep = state.second != 0
				m.kept[sostenuto] = append(m.kept[sostenuto], held)
				state.keep(held, 1)
			}
		}
		return
	}
	for _, held := range m.kept[sostenuto] {
		state := &m.keys[m.keyIndex(held.Key)]
		before := state.contacts()
		state.keep(held, -1)
		m.keyFrom(held.Key, before)
	}
	m.kept[sostenuto] = m.kept[sostenuto][:0]
}
