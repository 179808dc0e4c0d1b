package main

import (
	"fmt"
	"io"
	"strings"

	"trundle/cmd/trundle/paper"
	"trundle/sim/walk"
)

// walkAnswer is the steps of a walk, in the shape of schema trundle.walk/1.
type walkAnswer struct {
	Schema     string      `json:"schema"`
	Instrument string      `json:"instrument"`
	Steps      int         `json:"steps"`
	Phases     []walkPhase `json:"phases"`
}

type walkPhase struct {
	Name    string     `json:"name"`
	About   string     `json:"about"`
	Caution string     `json:"caution"`
	Strict  bool       `json:"strict"` // what is wrong in it is mended or accepted before the next begins
	Steps   []walkStep `json:"steps"`
}

type walkStep struct {
	ID     string   `json:"id"`
	Group  string   `json:"group"`
	First  string   `json:"first"` // what a hand does before, "" for nothing
	Do     string   `json:"do"`
	Expect string   `json:"expect"`
	Pins   []string `json:"pins"`
	Cold   rounded  `json:"cold"` // amps, 0 where nothing is known
	Hot    rounded  `json:"hot"`
	Least  rounded  `json:"least"` // amps that are good
	Most   rounded  `json:"most"`
	Pulse  rounded  `json:"pulse_ms"`
	Ask    bool     `json:"ask"` // whether the chamber is clear
}

func answerWalk(name string, steps []walk.Step, pins func(walk.Step) []string) walkAnswer {
	a := walkAnswer{Schema: "trundle.walk/1", Instrument: name, Steps: len(steps), Phases: []walkPhase{}}
	for i, s := range steps {
		if i == 0 || s.Phase != steps[i-1].Phase {
			a.Phases = append(a.Phases, walkPhase{s.Phase.String(), s.Phase.About(), s.Phase.Caution(), s.Phase.Strict(), []walkStep{}})
		}
		step := walkStep{ID: s.ID, Group: s.Group, First: s.First, Do: s.Do, Expect: s.Expect, Pins: pins(s), Pulse: rounded(s.Pulse), Ask: s.Ask}
		if good := s.AmpsGood(); good != nil {
			step.Cold, step.Hot, step.Least, step.Most = rounded(s.Amps.Cold), rounded(s.Amps.Hot), rounded(good.From), rounded(good.To)
		}
		phase := &a.Phases[len(a.Phases)-1]
		phase.Steps = append(phase.Steps, step)
	}
	return a
}

// Task is all that is done, by hand first.
func (s walkStep) Task() string {
	if s.First == "" {
		return s.Do
	}
	return s.First + "; then " + s.Do
}

// Meter is what a meter should show, "" where nothing is known.
func (s walkStep) Meter() string {
	if s.Cold == 0 {
		return ""
	}
	return fmt.Sprintf("%s A (%s to %s)", amps(s.Cold), amps(s.Least), amps(s.Most))
}

// From reports the first step of a group, whose name stands before it.
func (p walkPhase) From(i int) bool { return i == 0 || p.Steps[i].Group != p.Steps[i-1].Group }

func walkRows(a walkAnswer) [][]string {
	rows := [][]string{{"phase", "group", "step", "do", "expect", "pins", "amps", "pulse-ms", "verdict", "reading", "words"}}
	for _, p := range a.Phases {
		for _, s := range p.Steps {
			meter, pulse := "", ""
			if s.Cold != 0 {
				meter = amps(s.Cold)
			}
			if s.Pulse != 0 {
				pulse = amps(s.Pulse)
			}
			rows = append(rows, []string{p.Name, s.Group, s.ID, s.Task(), s.Expect, strings.Join(s.Pins, " "), meter, pulse, "", "", ""})
		}
	}
	return rows
}

func writeWalkText(w io.Writer, a walkAnswer, ink ink) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", ink.bold(fmt.Sprintf("%s: %s in %s", a.Instrument, count(a.Steps, "step"), count(len(a.Phases), "phase"))))
	for n, p := range a.Phases {
		fmt.Fprintf(&b, "\n%s\n", ink.bold(fmt.Sprintf("%d. %s: %s", n+1, p.Name, p.About)))
		if p.Caution != "" {
			fmt.Fprintf(&b, "   %s\n", ink.yellow(p.Caution))
		}
		expect := ""
		for i, s := range p.Steps {
			if p.From(i) {
				expect = s.Expect
				fmt.Fprintf(&b, " %s: %s\n", s.Group, expect)
			}
			fmt.Fprintf(&b, "  [ ] %s", s.Task())
			if s.Expect != expect {
				fmt.Fprintf(&b, ": %s", s.Expect)
			}
			if len(s.Pins) > 0 && p.Name != walk.Legs.String() {
				fmt.Fprintf(&b, "  %s", strings.Join(s.Pins, " "))
			}
			if meter := s.Meter(); meter != "" {
				fmt.Fprintf(&b, "  %s", meter)
			}
			b.WriteByte('\n')
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// walkPaper is the worksheet to print.
func walkPaper(a walkAnswer) *paper.Paper {
	p := &paper.Paper{Title: a.Instrument + ": worksheet", Caution: "wind, mains and the blower are switched by who answers for them; local codes, and people licensed to work on such things, come first",
		Lines: []string{count(a.Steps, "step") + ". What becomes of each: speaks, dead, wrong, faint, ciphers, open, bridged, weak, or words."}}
	for n, phase := range a.Phases {
		s := paper.Section{ID: phase.Name, Title: phase.Name + ": " + phase.About, Break: n > 0}
		if phase.Caution != "" {
			s.Text = []string{phase.Caution}
		}
		table := &paper.Table{Name: phase.Name, Caption: phase.About, Head: []string{"group", "do", "expect", "pins", "meter", "verdict", "words"}}
		for i, step := range phase.Steps {
			group := ""
			if phase.From(i) {
				group = step.Group
			}
			table.Rows = append(table.Rows, []string{group, step.Task(), step.Expect, strings.Join(step.Pins, " "), step.Meter(), "", ""})
		}
		s.Parts = []paper.Part{{Table: table}}
		p.Sections = append(p.Sections, s)
	}
	if n := len(p.Sections); n > 0 {
		p.Sections[n-1].Parts = append(p.Sections[n-1].Parts, paper.Part{Sign: []string{"date, place", "name"}})
	}
	return p
}
