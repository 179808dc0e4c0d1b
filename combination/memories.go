package combination

import (
	"maps"

	"trundle/console"
)

// Memories is everything that was captured. A value never changes: what was
// done to it is another.
type Memories struct {
	in      *console.Instrument
	sets    map[console.Slot]*Combination
	strange []strangeSet // of buttons this instrument does not have, or that keep nothing today
	locked  map[int]bool
	tutti   *Combination                    // On only; nil: as the instrument file has it
	stages  map[string]map[int]*Combination // by sequence and stage, On only
	reverse map[string]string               // control by reversible
	text    []byte                          // the file as it was read or written, nil when it was not yet
}

// Combination is a set of controls with on or off each, and what the file says
// of controls that this instrument does not have.
type Combination struct {
	On, Off               []int // controls, ascending
	StrangeOn, StrangeOff []string
}

// strangeSet is a combination whose button is unknown.
type strangeSet struct {
	memory int
	button string
	set    *Combination
}

// NewMemories is memories in which nothing was ever set.
func NewMemories(in *console.Instrument) *Memories {
	return &Memories{in: in, sets: map[console.Slot]*Combination{}, locked: map[int]bool{},
		stages: map[string]map[int]*Combination{}, reverse: map[string]string{}}
}

// Combination is what a general or divisional was set to, nil when it never was.
func (m *Memories) Combination(s console.Slot) *Combination { return m.sets[s] }

// Locked reports whether a memory refuses captures.
func (m *Memories) Locked(memory int) bool { return m.locked[memory] }

// Set lists the slots that were set, in the order of memories and buttons.
func (m *Memories) Set() []console.Slot {
	slots := make([]console.Slot, 0, len(m.sets))
	for s := range m.sets {
		slots = append(slots, s)
	}
	sortSlots(slots)
	return slots
}

// clone is a copy to be changed, whose text is not written yet.
func (m *Memories) clone() *Memories {
	n := *m
	n.text = nil
	return &n
}

func (m *Memories) withSets(alter func(map[console.Slot]*Combination)) *Memories {
	n := m.clone()
	n.sets = maps.Clone(m.sets)
	alter(n.sets)
	return n
}

// with is the memories with one combination set, or cleared when it is nil.
func (m *Memories) with(s console.Slot, set *Combination) *Memories {
	return m.withSets(func(sets map[console.Slot]*Combination) { put(sets, s, set) })
}

func put(sets map[console.Slot]*Combination, s console.Slot, set *Combination) {
	if set == nil {
		delete(sets, s)
		return
	}
	sets[s] = set
}

func (m *Memories) withLock(memory int, on bool) *Memories {
	n := m.clone()
	n.locked = maps.Clone(m.locked)
	delete(n.locked, memory)
	if on {
		n.locked[memory] = true
	}
	return n
}

func (m *Memories) withTutti(adds []int) *Memories {
	n := m.clone()
	n.tutti = &Combination{On: adds}
	if m.tutti != nil {
		n.tutti.StrangeOn = m.tutti.StrangeOn
	}
	return n
}

func (m *Memories) withStage(sequence, stage int, adds []int) *Memories {
	n := m.clone()
	name := sequenceKey(m.in, sequence)
	n.stages = maps.Clone(m.stages)
	of := maps.Clone(m.stages[name])
	if of == nil {
		of = map[int]*Combination{}
	}
	set := &Combination{On: adds}
	if before := of[stage]; before != nil {
		set.StrangeOn = before.StrangeOn
	}
	of[stage], n.stages[name] = set, of
	return n
}

func (m *Memories) withReversible(button, control int) *Memories {
	n := m.clone()
	n.reverse = maps.Clone(m.reverse)
	n.reverse[m.in.Combination.Buttons[button].ID] = m.in.Controls[control].ID
	return n
}

// of is what a slot, or every slot of a whole memory, is set to.
func (m *Memories) of(s console.Slot) map[int]*Combination {
	sets := map[int]*Combination{}
	for at, set := range m.sets {
		if at.Memory == s.Memory && (s.Button == console.None || at.Button == s.Button) {
			sets[at.Button] = set
		}
	}
	return sets
}

// fill puts combinations by button into a slot, or into a whole memory after
// clearing it.
func fill(sets map[console.Slot]*Combination, s console.Slot, from map[int]*Combination) {
	maps.DeleteFunc(sets, func(at console.Slot, _ *Combination) bool {
		return at.Memory == s.Memory && (s.Button == console.None || at.Button == s.Button)
	})
	for b, set := range from {
		if s.Button != console.None {
			b = s.Button
		}
		sets[console.Slot{Memory: s.Memory, Button: b}] = set
	}
}

func (m *Memories) copied(from, to console.Slot) *Memories {
	return m.withSets(func(sets map[console.Slot]*Combination) { fill(sets, to, m.of(from)) })
}

func (m *Memories) swapped(from, to console.Slot) *Memories {
	return m.withSets(func(sets map[console.Slot]*Combination) {
		fill(sets, to, m.of(from))
		fill(sets, from, m.of(to))
	})
}

func (m *Memories) cleared(s console.Slot) *Memories {
	return m.withSets(func(sets map[console.Slot]*Combination) { fill(sets, s, nil) })
}

// inserted puts a combination into the first of the slots and moves what they
// held up by one; the last held nothing.
func (m *Memories) inserted(slots []console.Slot, set *Combination) *Memories {
	return m.withSets(func(sets map[console.Slot]*Combination) {
		for i := len(slots) - 1; i > 0; i-- {
			put(sets, slots[i], m.sets[slots[i-1]])
		}
		sets[slots[0]] = set
	})
}
