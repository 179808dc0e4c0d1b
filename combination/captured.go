package combination

import (
	"cmp"
	"slices"
	"strconv"

	"trundle/console"
)

// What tutti, crescendo and reversibles do when captures have changed them.
// They are the same in every memory, so that changing it changes no sound.

// sequenceKey is a sequence of the crescendo as the file names it: its name,
// or its number when it has none.
func sequenceKey(in *console.Instrument, sequence int) string {
	if name := in.Crescendo[sequence].Name; name != "" {
		return name
	}
	return strconv.Itoa(sequence + 1)
}

// reversed is the control that a reversible toggles.
func (m *Memories) reversed(button console.Button, b int) int {
	if id, captured := m.reverse[button.ID]; captured {
		for c, control := range m.in.Controls {
			if control.ID == id {
				return c
			}
		}
	}
	return button.Control
}

// blinds is what the tutti adds and drops, and every crescendo stage in all.
// A captured stage is all that the crescendo adds there; later stages go on
// from it.
func (m *Memories) blinds() (tutti console.Blind, stages [][]console.Blind) {
	tutti = m.in.Tutti
	if m.tutti != nil {
		tutti.Adds = m.tutti.On
	}
	for i, sequence := range m.in.Crescendo {
		captured := m.stages[sequenceKey(m.in, i)]
		totals := make([]console.Blind, len(sequence.Stages))
		var before console.Blind
		for n, stage := range sequence.Stages {
			if set := captured[n+1]; set != nil {
				before = console.Blind{Adds: set.On}
			} else {
				before.Adds = slices.Concat(before.Adds, stage.Adds)
				before.Drops = slices.Concat(before.Drops, stage.Drops)
			}
			totals[n] = before
		}
		stages = append(stages, totals)
	}
	return tutti, stages
}

func sortSlots(slots []console.Slot) {
	slices.SortFunc(slots, func(a, b console.Slot) int {
		return cmp.Or(cmp.Compare(a.Memory, b.Memory), cmp.Compare(a.Button, b.Button))
	})
}

func sortControls(set *Combination) {
	slices.Sort(set.On)
	slices.Sort(set.Off)
}

// withoutStrange is a new list without the combination of one unknown button.
func withoutStrange(list []strangeSet, memory int, button string) []strangeSet {
	return slices.DeleteFunc(slices.Clone(list), func(s strangeSet) bool { return s.memory == memory && s.button == button })
}
