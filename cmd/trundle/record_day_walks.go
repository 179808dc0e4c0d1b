package main

import (
	"fmt"
	"slices"
)

// dayWalk is what a record holds of the walk through one instrument.
type dayWalk struct {
	Instrument string `json:"instrument"`
	Steps      int    `json:"steps"`  // of the last session
	Tested     int    `json:"tested"` // steps that were tried
	dayCounts
	Again []string `json:"again"` // answered steps that are not what they were then, and were not answered since
	Gone  []string `json:"gone"`  // answered steps that were none any more in the last session

	phases  map[string]int // its steps by phase
	answers []dayShow      // the last of each step
	place   map[string]int // in them
}

// walksOf are the walks of a record, that of the last session last.
func walksOf(lines []dayLine) (walks []*dayWalk) {
	for i, l := range lines {
		switch {
		case l.Begin != nil:
			walks = beginWalk(walks, l.Begin)
		case l.Answer != nil:
			if len(walks) == 0 {
				walks = beginWalk(nil, &dayBegin{})
			}
			w := walks[len(walks)-1]
			w.answers = later(w.answers, showOf(i, l), w.place, l.Answer.Step)
			w.Again = slices.DeleteFunc(w.Again, func(step string) bool { return step == l.Answer.Step })
		}
	}
	for _, w := range walks {
		for _, s := range w.counting() {
			w.add(s.Answer)
		}
		w.Tested = w.tested()
	}
	return walks
}

// beginWalk goes on in the walk through an instrument, or begins it.
func beginWalk(walks []*dayWalk, b *dayBegin) []*dayWalk {
	at := slices.IndexFunc(walks, func(w *dayWalk) bool { return w.Instrument == b.Instrument || b.Was != "" && w.Instrument == b.Was })
	w := &dayWalk{place: map[string]int{}}
	if at >= 0 {
		w = walks[at]
		walks = slices.Delete(walks, at, at+1)
	}
	w.Instrument, w.Steps, w.phases = b.Instrument, b.Steps, b.Phases
	w.Again, w.Gone = append([]string{}, b.Again...), append([]string{}, b.Gone...)
	return append(walks, w)
}

// counting are the answers to steps that are what they were then.
func (w *dayWalk) counting() (list []dayShow) {
	without := map[string]bool{}
	for _, step := range slices.Concat(w.Again, w.Gone) {
		without[step] = true
	}
	for _, s := range w.answers {
		if !without[s.Answer.Step] {
			list = append(list, s)
		}
	}
	return list
}

// restText says which answers do not count any more.
func restText(again, gone []string) (list []string) {
	switch len(again) {
	case 0:
	case 1:
		list = append(list, "1 step is not what it was when answered: it comes again")
	default:
		list = append(list, fmt.Sprintf("%d steps are not what they were when answered: they come again", len(again)))
	}
	if len(gone) > 0 {
		list = append(list, count(len(gone), "answer")+" to what is no step any more, or not with these files: not counted")
	}
	return list
}
