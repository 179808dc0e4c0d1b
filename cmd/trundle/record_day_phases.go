package main

import (
	"fmt"
	"slices"
	"strings"

	"trundle/cmd/trundle/paper"
	"trundle/sim/walk"
)

// dayPhase is how a phase of the walk stands, by the last answers to its steps.
type dayPhase struct {
	Phase string `json:"phase"`
	Steps int    `json:"steps"` // of the last walk; 0 where the record does not say
	dayCounts
}

// dayCounts are steps by what became of them.
type dayCounts struct {
	Good     int `json:"good"`
	Failed   int `json:"failed"`
	Accepted int `json:"accepted"` // not good, and left so with a reason
	Skipped  int `json:"skipped"`  // not tried
}

func (c *dayCounts) add(a *dayAnswer) {
	switch {
	case a.Good:
		c.Good++
	case a.Verdict == string(walk.Skipped):
		c.Skipped++
	case a.Verdict == string(walk.Accept):
		c.Accepted++
	default:
		c.Failed++
	}
}

// tested is how many were tried.
func (c dayCounts) tested() int { return c.Good + c.Failed + c.Accepted }

// String is what became of those that were tested, and how many others were skipped:
// 12 good, 1 failed; 2 skipped.
func (c dayCounts) String() string {
	text := fmt.Sprintf("%d good, %d failed", c.Good, c.Failed)
	if c.Accepted > 0 {
		text += fmt.Sprintf(", %d accepted", c.Accepted)
	}
	if c.Skipped > 0 {
		text += fmt.Sprintf("; %d skipped", c.Skipped)
	}
	return text
}

// of are the steps that a phase has, as far as the record tells.
func (p dayPhase) of() string {
	if p.Steps == 0 {
		return fmt.Sprint(p.tested() + p.Skipped)
	}
	return fmt.Sprint(p.Steps)
}

// state is a phase in a word or two.
func (p dayPhase) state() string {
	switch answered := p.tested() + p.Skipped; {
	case answered == 0:
		return "not begun"
	case answered < p.Steps:
		return "begun"
	case p.Failed+p.Skipped > 0:
		return "open"
	}
	return "done"
}

// phasesOf counts the answers of each phase, in the order of the walk. steps are
// those of its plan, by phase.
func phasesOf(answers []dayShow, steps map[string]int) []dayPhase {
	list := []dayPhase{}
	for _, phase := range walk.Phases() {
		p := dayPhase{Phase: phase.String(), Steps: steps[phase.String()]}
		for _, s := range answers {
			if s.Answer.Phase == p.Phase {
				p.add(s.Answer)
			}
		}
		if p.Steps+p.tested()+p.Skipped > 0 {
			list = append(list, p)
		}
	}
	return list
}

// stepsBy counts the steps of a plan by phase.
func stepsBy(steps []walk.Step) map[string]int {
	by := map[string]int{}
	for _, s := range steps {
		by[s.Phase.String()]++
	}
	return by
}

// phaseTable is how the phases stand, to print.
func (a *dayAnswers) phaseTable(name string) paper.Table {
	t := paper.Table{Name: name, Caption: "How far each phase of the walk came", Head: []string{"phase", "state", "steps", "good", "failed", "accepted", "skipped"}}
	for _, p := range a.Phases {
		t.Rows = append(t.Rows, []string{p.Phase, p.state(), p.of(), fmt.Sprint(p.Good), fmt.Sprint(p.Failed), fmt.Sprint(p.Accepted), fmt.Sprint(p.Skipped)})
	}
	return t
}

// phaseText is the same in a terminal, with what was skipped.
func (a *dayAnswers) phaseText(b *strings.Builder) {
	t := a.phaseTable("")
	if len(t.Rows) == 0 {
		return
	}
	b.WriteByte('\n')
	writeTable(b, slices.Insert(t.Rows, 0, t.Head))
	for _, p := range a.Phases {
		if p.Skipped > 0 {
			fmt.Fprintf(b, "\nskipped in %s: %s\n", p.Phase, someOf(a.skipped(p.Phase)))
		}
	}
}

// skipped are the steps of a phase that were not tried.
func (a *dayAnswers) skipped(phase string) (steps []string) {
	for _, s := range a.Open {
		if s.Answer.Phase == phase && s.Answer.Verdict == string(walk.Skipped) {
			steps = append(steps, s.Answer.Step)
		}
	}
	return steps
}
