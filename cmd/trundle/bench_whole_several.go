package main

import (
	"slices"

	"trundle/sim/bench"
	"trundle/sim/probe"
)

// fewChords is how few chords a mistake must show in to rest on little.
const fewChords = 5

// find finds the mistakes that account for the answers. Where that takes several,
// the chords on which little rests are tried again with patience before: one that
// was read too soon must not refute what all others say.
func (t *wholeTest) find(w *bench.Whole, a *wholeAnswer, try func(*bench.Whole) error) error {
	t.found, t.left = probe.Together(t.plan, t.relay, t.in, t.heard)
	if len(t.found) == 1 && len(t.left) == 0 {
		return nil
	}
	doubted := t.doubted()
	again := w.Again(doubted)
	if again == nil {
		return nil
	}
	if err := try(again); err != nil {
		return err
	}
	a.Pressed += again.Pressed()
	if w.Break(again.Why); w.Why != "" {
		return nil
	}
	answers, changed := again.Steady(), 0
	for _, at := range doubted {
		answer := answers[at[0]][at[1]]
		if slices.Equal(t.heard[at[0]][at[1]], answer) {
			continue
		}
		t.heard[at[0]][at[1]] = answer
		if changed++; answer != nil {
			a.Late++
		}
	}
	t.loose = append(t.loose, again.Loose()...)
	if a.Unsteady += len(again.Loose()); changed > 0 {
		t.found, t.left = probe.Together(t.plan, t.relay, t.in, t.heard)
	}
	return nil
}

// doubted are the chords of which something is left unaccounted for, or in which
// alone a mistake shows.
func (t *wholeTest) doubted() (list [][2]int) {
	add := func(wrong []probe.Wrong, most int) {
		var chords [][2]int
		for _, w := range wrong {
			if at := [2]int{w.Step, w.Chord}; !slices.Contains(chords, at) {
				chords = append(chords, at)
			}
		}
		for _, at := range chords {
			if len(chords) <= most && !slices.Contains(list, at) {
				list = append(list, at)
			}
		}
	}
	add(t.left, t.plan.Presses())
	for _, m := range t.found {
		add(probe.Differ(probe.Simulate(t.plan, m.With, t.in), probe.Simulate(t.plan, m.Ways[0].Relay, t.in)), fewChords)
	}
	return list
}

// mostApart is how many mistakes are told apart by more chords.
const mostApart = 100

// tellApart presses more chords where one of the mistakes may be several things,
// and keeps what accounts for these too; where nothing does, it is left as it was,
// but for a mistake that is the only one: then no mistake does.
func (t *wholeTest) tellApart(w *bench.Whole, a *wholeAnswer, try func(*bench.Whole) error) error {
	for i, m := range t.found {
		if len(m.Ways) < 2 || len(m.Ways) > mostApart {
			continue
		}
		plan, groups := probe.Split(t.plan, m.With, t.in, m.Ways)
		plan, _, _, err := t.within(plan)
		if err != nil {
			return err
		}
		if len(plan.Steps) == 0 {
			continue
		}
		more := w.Then(plan, probe.Simulate(plan, groups[0].Faults[0].Relay, t.in))
		err = try(more)
		a.Pressed, a.Late, a.Unsteady = a.Pressed+more.Pressed(), a.Late+more.Late, a.Unsteady+more.Unsteady
		if w.Break(more.Why); err != nil || w.Why != "" {
			return err
		}
		var ways = m.Ways[:0:0]
		for _, g := range probe.Narrow(plan, t.in, groups, more.Steady()) {
			ways = append(ways, g.Faults...)
		}
		switch {
		case len(ways) > 0:
			t.found[i].Ways = ways
		case len(t.found) == 1:
			t.found, t.left = nil, probe.Differ(t.want, t.heard)
			return nil
		}
	}
	return nil
}
