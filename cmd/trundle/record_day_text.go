package main

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"time"

	"trundle/cmd/trundle/paper"
	"trundle/sim/walk"
)

// found is an answer in words.
func (s dayShow) found() string {
	a := s.Answer
	return foundText(a.Verdict, s.Words, walk.Readings(a.Amps, a.Volts, a.AmpsGood, a.VoltsGood))
}

// about is what a line says that is no answer.
func (s dayShow) about() (list []string) {
	switch {
	case s.Begin != nil:
		list = append(list, fmt.Sprintf("%s, %s", s.Begin.Instrument, count(s.Begin.Steps, "step")), "in "+orNone(s.Begin.In), "out "+orNone(s.Begin.Out), s.Begin.Program)
	case s.Identity != "":
		list = append(list, s.Identity)
	case s.Round != nil:
		list = append(list, fmt.Sprintf("%s %d: %s, %d moved, %s made", s.Round.Test, s.Round.Round, s.Round.Do, len(s.Round.Moved), count(len(s.Round.Made), "contact")))
		if len(s.Round.Unlike) > 0 {
			list = append(list, "not as they should be: "+strings.Join(s.Round.Unlike, " "))
		}
	case s.Test != nil:
		list = append(list, s.Test.title()+": "+s.Test.verdict())
		list = append(list, s.Test.said()...)
	case s.Words != "":
		list = append(list, s.Words)
	}
	for _, file := range slices.Sorted(maps.Keys(s.Files)) {
		list = append(list, file+" "+s.Files[file])
	}
	return list
}

// said is what a test found, what it did not try, and what is not good.
func (t *dayTest) said() []string {
	list := slices.Clone(t.Found)
	for _, f := range t.Failures {
		list = append(list, strings.TrimSpace("not good: "+f.What+" "+strings.Join(f.Pins, " ")))
	}
	return list
}

// told is a line in two cells: what it is, and all that it says.
func (s dayShow) told() (what, found string) {
	if s.Answer != nil {
		return s.Answer.Step, s.found()
	}
	return s.Kind, strings.Join(s.about(), "; ")
}

// testTable is the last of each test, with a row for each thing that it found or did
// not try: what limits a verdict stands beside it.
func (a *dayAnswers) testTable(name string) paper.Table {
	t := paper.Table{Name: name, Caption: "The last of each test, and what limits it", Head: []string{"test", "verdict", "found", "who", "time (UTC)"}}
	for _, s := range a.Tests {
		for _, line := range s.Test.said() {
			t.Rows = append(t.Rows, []string{s.Test.title(), s.Test.verdict(), line, s.Who, stamp(s.At)})
		}
	}
	return t
}

func orNone(name string) string {
	if name == "" {
		return "none"
	}
	return name
}

func (a *dayAnswers) text(w io.Writer, ink ink) error {
	var b strings.Builder
	for i, line := range a.state() {
		if i == 0 {
			line = ink.bold(line)
		}
		b.WriteString(line + "\n")
	}
	a.phaseText(&b)
	for _, s := range a.Open {
		if s.Answer.Verdict == string(walk.Skipped) {
			continue
		}
		fmt.Fprintf(&b, "\nopen: %s\n  %s\n", s.Answer.Step, ink.red(s.found()))
		for _, leg := range s.Answer.Legs {
			fmt.Fprintf(&b, "  %s\n", leg)
		}
	}
	b.WriteByte('\n')
	for _, s := range a.Entries {
		stamp := s.At.Local().Format("2006-01-02 15:04:05")
		who := ""
		if s.Who != "" {
			who = ", by " + s.Who
		}
		if s.Answer != nil {
			fmt.Fprintf(&b, "%s  %-36s  %s%s\n", stamp, s.Answer.Step, s.found(), who)
			continue
		}
		fmt.Fprintf(&b, "%s  %s%s\n", stamp, s.Kind, who)
		for _, line := range s.about() {
			fmt.Fprintf(&b, "  %s\n", line)
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// dayPaper is the record to print and to sign.
func dayPaper(a *dayAnswers) *paper.Paper {
	name := a.File
	open := &paper.Table{Name: "open", Caption: "what is not good", Head: []string{"board", "pins", "step", "found", "legs"}}
	for _, s := range a.Open {
		open.Rows = append(open.Rows, []string{s.Answer.Board, strings.Join(s.Answer.Pins, " "), s.Answer.Step, s.found(), strings.Join(s.Answer.Legs, "; ")})
	}
	all := &paper.Table{Name: "lines", Caption: "every line of the record", Head: []string{"time", "who", "what", "found"}}
	for _, s := range a.Entries {
		what, found := s.told()
		if s.Begin != nil {
			name = s.Begin.Instrument
		}
		all.Rows = append(all.Rows, []string{s.At.Format(time.RFC3339), s.Who, what, found})
	}
	p := &paper.Paper{Title: name + ": record of the day", Lines: a.state(), Caution: "a record of what was seen and said, not an inspection; mains work and approval belong to licensed people under the local code"}
	if phases := a.phaseTable("phases"); len(phases.Rows) > 0 {
		p.Sections = append(p.Sections, paper.Section{ID: "phases", Title: "Phases", Parts: []paper.Part{{Table: &phases}}})
	}
	if len(open.Rows) > 0 {
		p.Sections = append(p.Sections, paper.Section{ID: "open", Title: "Open", Parts: []paper.Part{{Table: open}}})
	}
	if tests := a.testTable("tests"); len(tests.Rows) > 0 {
		p.Sections = append(p.Sections, paper.Section{ID: "tests", Title: "Tests", Parts: []paper.Part{{Table: &tests}}})
	}
	p.Sections = append(p.Sections, paper.Section{ID: "lines", Title: "The day", Parts: []paper.Part{{Table: all}}},
		paper.Section{ID: "sign", Title: "Signed", Text: []string{"The record with the seal " + a.Seal + "."}, Parts: []paper.Part{{Sign: []string{"date, place", "name"}}}})
	return p
}
