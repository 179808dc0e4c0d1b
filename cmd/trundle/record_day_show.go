package main

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"trundle/cmd/trundle/paper"
)

func dayCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "day FILE",
		Short: "Show the record of a day: what was tested, who answered, and what is open",
		Long: `Show a record that walk --to keeps: instrument, ports, who the hardware says it is,
every step with its answer, what is not good by board, pin and leg, and the SHA-256
of the files. A record is added to and never rewritten: each line holds the digest
of all before it, and a line that was changed since shows. The digest of the whole
is its seal: sign the page with the seal on it, and the file can be held to it.

--note adds a line in words; --with the SHA-256 of files with it, such as what a
bench reported.

The exit code is 1 when something is not good, or the record is not whole.`,
		Example: `  trundle day day.jsonl
  trundle day day.jsonl --format html > day.html
  trundle day day.jsonl --note "whole relay passed" --with bench.json --who Ann`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return complaint{"day needs one record", "name it, like day.jsonl"}
			}
			return nil
		},
	}
	note := cmd.Flags().String("note", "", "add a line of `WORDS`")
	with := cmd.Flags().StringArray("with", nil, "with the SHA-256 of `FILE`; repeatable")
	who := cmd.Flags().String("who", "", "`NAME` of who notes it")
	form := formFlag(cmd, "text", "json", "html")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if *note == "" && len(*with) > 0 {
			return complaint{"--with goes with --note", "say in words what the files are"}
		}
		if *note != "" {
			return addNote(args[0], *note, *who, *with)
		}
		a, err := loadDay(args[0])
		if err != nil {
			return err
		}
		out := cmd.OutOrStdout()
		switch form.chosen {
		case "json":
			err = writeJSON(out, a)
		case "html":
			err = dayPaper(a).WriteHTML(out)
		default:
			err = a.text(out, inkFor(out))
		}
		if err == nil && a.bad() {
			return errBad
		}
		return err
	}
	return cmd
}

func addNote(path, note, who string, with []string) error {
	files := map[string]string{}
	for _, file := range with {
		data, err := os.ReadFile(file)
		if err != nil {
			return fmt.Errorf("%s: cannot be read: %w", file, reason(err))
		}
		sum := sha256.Sum256(data)
		files[file] = digest(sum[:])
	}
	book, _, err := openDay(path, time.Now)
	if err != nil {
		return err
	}
	return errors.Join(book.add(dayEntry{Kind: "note", Words: note, Who: who, Files: files}), book.close())
}

// loadDay reads a record and what it comes to.
func loadDay(path string) (*dayAnswers, error) {
	if err := readable(path); err != nil {
		return nil, err
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", path, reason(err))
	}
	lines, seal := readDay(data)
	if len(lines) == 0 || lines[0].Damaged {
		return nil, complaint{path + ": is no record of a day", "name one that walk --to has kept"}
	}
	return answerDay(path, lines, seal), nil
}

// dayAnswers is a record, in the shape of schema trundle.day/1.
type dayAnswers struct {
	Schema  string    `json:"schema"`
	File    string    `json:"file"`
	Seal    string    `json:"seal"`
	Whole   bool      `json:"whole"` // no line is damaged or was changed
	Broken  []int     `json:"broken"`
	Damaged []int     `json:"damaged"`
	Tested  int       `json:"tested"` // steps with an answer
	Steps   int       `json:"steps"`  // of the last walk
	Who     []string  `json:"who"`
	Entries []dayShow `json:"entries"`
	Open    []dayShow `json:"open"` // the last answers to steps that are not good
}

// dayShow is a line of a record.
type dayShow struct {
	Line     int               `json:"line"`
	Kind     string            `json:"kind"`
	At       time.Time         `json:"at"`
	Who      string            `json:"who"`
	Words    string            `json:"words"`
	Identity string            `json:"identity"`
	Files    map[string]string `json:"files"`
	Begin    *dayBegin         `json:"begin"`
	Answer   *dayAnswer        `json:"answer"`
}

func answerDay(file string, lines []dayLine, seal string) *dayAnswers {
	a := &dayAnswers{Schema: "trundle.day/1", File: file, Seal: seal, Broken: []int{}, Damaged: []int{}, Who: []string{}, Entries: []dayShow{}, Open: []dayShow{}}
	last := map[string]dayShow{}
	var order []string
	for i, l := range lines {
		switch {
		case l.Damaged:
			a.Damaged = append(a.Damaged, i+1)
			continue
		case l.Broken:
			a.Broken = append(a.Broken, i+1)
		}
		show := dayShow{i + 1, l.Kind, l.At, l.Who, l.Words, l.Identity, l.Files, l.Begin, l.Answer}
		if show.Files == nil {
			show.Files = map[string]string{}
		}
		a.Entries = append(a.Entries, show)
		if l.Who != "" && !slices.Contains(a.Who, l.Who) {
			a.Who = append(a.Who, l.Who)
		}
		if l.Begin != nil {
			a.Steps = l.Begin.Steps
		}
		if l.Answer != nil {
			if _, known := last[l.Answer.Step]; !known {
				order = append(order, l.Answer.Step)
			}
			last[l.Answer.Step] = show
		}
	}
	a.Tested = len(order)
	for _, step := range order {
		if show := last[step]; !show.Answer.Good {
			a.Open = append(a.Open, show)
		}
	}
	slices.SortStableFunc(a.Open, func(x, y dayShow) int { return strings.Compare(x.Answer.Board, y.Answer.Board) })
	a.Whole = len(a.Broken)+len(a.Damaged) == 0
	return a
}

// bad reports whether something is not good, or the record is not whole.
func (a *dayAnswers) bad() bool { return !a.Whole || len(a.Open) > 0 }

// found is an answer in words.
func (s dayShow) found() string {
	text := s.Answer.Verdict
	if s.Words != "" {
		text += ": " + s.Words
	}
	if s.Answer.Amps != nil {
		text += fmt.Sprintf(", %.3f A", *s.Answer.Amps)
	}
	if s.Answer.Volts != nil {
		text += fmt.Sprintf(", %.2f V", *s.Answer.Volts)
	}
	return text
}

// about is what a line says that is no answer.
func (s dayShow) about() (list []string) {
	switch {
	case s.Begin != nil:
		list = append(list, fmt.Sprintf("%s, %s", s.Begin.Instrument, count(s.Begin.Steps, "step")), "in "+orNone(s.Begin.In), "out "+orNone(s.Begin.Out), s.Begin.Program)
	case s.Identity != "":
		list = append(list, s.Identity)
	case s.Words != "":
		list = append(list, s.Words)
	}
	for _, file := range slices.Sorted(maps.Keys(s.Files)) {
		list = append(list, file+" "+s.Files[file])
	}
	return list
}

func orNone(name string) string {
	if name == "" {
		return "none"
	}
	return name
}

// state is what is to be known of a record before all else.
func (a *dayAnswers) state() []string {
	list := []string{fmt.Sprintf("%d of %s tested, %d not good", a.Tested, count(a.Steps, "step"), len(a.Open))}
	if len(a.Who) > 0 {
		list = append(list, "answered by "+strings.Join(a.Who, ", "))
	}
	for _, line := range a.Broken {
		list = append(list, fmt.Sprintf("NOT WHOLE: what stands before line %d was changed after it was written", line))
	}
	for _, line := range a.Damaged {
		list = append(list, fmt.Sprintf("NOT WHOLE: line %d was cut off", line))
	}
	return append(list, "seal "+a.Seal)
}

func (a *dayAnswers) text(w io.Writer, ink ink) error {
	var b strings.Builder
	for i, line := range a.state() {
		if i == 0 {
			line = ink.bold(line)
		}
		b.WriteString(line + "\n")
	}
	for _, s := range a.Open {
		fmt.Fprintf(&b, "\nopen: %s\n  %s\n", s.Answer.Step, ink.red(s.found()))
		for _, leg := range s.Answer.Legs {
			fmt.Fprintf(&b, "  %s\n", leg)
		}
	}
	b.WriteByte('\n')
	for _, s := range a.Entries {
		stamp := s.At.Local().Format("2006-01-02 15:04:05")
		if s.Answer != nil {
			fmt.Fprintf(&b, "%s  %-36s  %s\n", stamp, s.Answer.Step, s.found())
			continue
		}
		fmt.Fprintf(&b, "%s  %s\n", stamp, s.Kind)
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
		row := []string{s.At.Format(time.RFC3339), s.Who, s.Kind, strings.Join(s.about(), "; ")}
		if s.Answer != nil {
			row[2], row[3] = s.Answer.Step, s.found()
		}
		if s.Begin != nil {
			name = s.Begin.Instrument
		}
		all.Rows = append(all.Rows, row)
	}
	p := &paper.Paper{Title: name + ": record of the day", Lines: a.state(), Caution: "a record of what was seen and said, not an inspection; mains work and approval belong to licensed people under the local code"}
	if len(open.Rows) > 0 {
		p.Sections = append(p.Sections, paper.Section{ID: "open", Title: "Open", Parts: []paper.Part{{Table: open}}})
	}
	p.Sections = append(p.Sections, paper.Section{ID: "lines", Title: "The day", Parts: []paper.Part{{Table: all}}},
		paper.Section{ID: "sign", Title: "Signed", Text: []string{"The record with the seal " + a.Seal + "."}, Parts: []paper.Part{{Sign: []string{"date, place", "name"}}}})
	return p
}
