package bench

import (
	"slices"

	"trundle/sim/probe"
)

// Steady are the answers without those to chords that were answered now so, now
// otherwise: nothing can be concluded from these.
func (w *Whole) Steady() probe.Answers {
	steady := make(probe.Answers, len(w.Answers))
	for i := range steady {
		steady[i] = slices.Clone(w.Answers[i])
	}
	for _, at := range w.Loose() {
		steady[at[0]][at[1]] = nil
	}
	return steady
}

// Loose are the chords that were answered now so, now otherwise, by step and chord.
func (w *Whole) Loose() (list [][2]int) {
	for _, at := range w.doubtful {
		if w.loose == nil || w.loose[at] { // nil where they were too many to try with patience
			list = append(list, [2]int{at.step, at.chord})
		}
	}
	return list
}

// Again is the test of a few chords of the same plan once more, with patience: an
// answer that was as it should be, or twice alike, may have been read too soon all
// the same. It is nil where there are none, or too many.
func (w *Whole) Again(chords [][2]int) *Whole {
	if len(chords) == 0 || len(chords) > mostDoubtful {
		return nil
	}
	x := w.Then(w.plan, w.want)
	x.round, x.loose = patient, map[spot]bool{}
	for _, at := range chords {
		x.doubtful = append(x.doubtful, spot{at[0], at[1]})
	}
	x.todo = slices.Repeat(x.doubtful, tries)
	return x
}
