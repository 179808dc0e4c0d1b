package walk

import (
	"fmt"
	"slices"
)

// Walk is a plan and what has been answered of it.
type Walk struct {
	Steps []Step
	Again []string          // steps that are not what they were when they were answered last: they come again
	Gone  []string          // that were answered, and are no steps any more
	last  map[string]Answer // by step
	at    map[string]int
}

// Begin begins a walk with what was answered before, of which the last counts.
func Begin(steps []Step, before []Answer) *Walk {
	w := &Walk{Steps: steps, Again: []string{}, Gone: []string{}, last: map[string]Answer{}, at: map[string]int{}}
	for i, s := range steps {
		w.at[s.ID] = i
	}
	last := map[string]Answer{}
	for _, a := range before {
		if _, there := w.at[a.Step]; there {
			last[a.Step] = a
		} else {
			w.Gone = append(w.Gone, a.Step)
		}
	}
	slices.Sort(w.Gone)
	w.Gone = slices.Compact(w.Gone)
	for _, s := range steps {
		switch a, answered := last[s.ID]; {
		case answered && a.isOf(s):
			w.last[s.ID] = a
		case answered:
			w.Again = append(w.Again, s.ID)
		}
	}
	if _, signed := w.last[signID]; signed && len(w.Again) > 0 { // not for what is tried now
		delete(w.last, signID)
		w.Again = append(w.Again, signID)
	}
	return w
}

// isOf reports whether an answer is to a step as it is now, as far as is known of
// what it was.
func (a Answer) isOf(s Step) bool {
	if a.Sum == "" {
		return a.Do == "" || a.Do == s.Do
	}
	return a.Sum == s.Sum
}

// Answer takes an answer; a later one to the same step takes its place.
func (w *Walk) Answer(a Answer) error {
	if _, there := w.at[a.Step]; !there {
		return fmt.Errorf("no step %s", a.Step)
	}
	w.last[a.Step] = a
	return nil
}

// Last is the answer to a step, if there is one.
func (w *Walk) Last(i int) (Answer, bool) {
	a, ok := w.last[w.Steps[i].ID]
	return a, ok
}

// Next is the step to try: the first without an answer, in the order of the
// phases. Before a strict phase is left it is one that has gone wrong and was not
// accepted. ok is false at the end of the walk.
func (w *Walk) Next() (i int, ok bool) {
	for first := 0; first < len(w.Steps); {
		phase, last, wrong := w.Steps[first].Phase, first, -1
		for ; last < len(w.Steps) && w.Steps[last].Phase == phase; last++ {
			a, answered := w.Last(last)
			if !answered {
				return last, true
			}
			if wrong < 0 && !a.Verdict.IsGood() && a.Verdict != Accept {
				wrong = last
			}
		}
		if phase.Strict() && wrong >= 0 {
			return wrong, true
		}
		first = last
	}
	return 0, false
}

// Rest are the steps of a group from one on that have no answer, that one with
// it; those with a reading to compare stand apart.
func (w *Walk) Rest(i int) (rest, measured []int) {
	for j := i; j < len(w.Steps) && w.Steps[j].Phase == w.Steps[i].Phase && w.Steps[j].Group == w.Steps[i].Group; j++ {
		if _, answered := w.Last(j); answered && j != i {
			continue
		}
		if w.Steps[j].Measured() {
			measured = append(measured, j)
		} else {
			rest = append(rest, j)
		}
	}
	return rest, measured
}

// Done is how far a walk came: steps by what became of them.
type Done struct{ Good, Wrong, Accepted, Skipped int }

// Answered is how many have an answer.
func (d Done) Answered() int { return d.Good + d.Wrong + d.Accepted + d.Skipped }

// String is what is not good, as a person is told: 1 not good, 2 skipped.
func (d Done) String() string {
	text := fmt.Sprintf("%d not good", d.Wrong)
	if d.Accepted > 0 {
		text += fmt.Sprintf(", %d accepted", d.Accepted)
	}
	if d.Skipped > 0 {
		text += fmt.Sprintf(", %d skipped", d.Skipped)
	}
	return text
}

// Done is how far it came.
func (w *Walk) Done() (d Done) {
	for i := range w.Steps {
		switch a, ok := w.Last(i); {
		case !ok:
		case a.Verdict.IsGood():
			d.Good++
		case a.Verdict == Accept:
			d.Accepted++
		case a.Verdict == Skipped:
			d.Skipped++
		default:
			d.Wrong++
		}
	}
	return d
}
