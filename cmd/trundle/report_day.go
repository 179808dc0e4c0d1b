package main

import (
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"trundle/cmd/trundle/paper"
)

// printedOfDay is how many lines of a record are printed; a longer one is in
// the workbook and in a file of its own.
const printedOfDay = 60

// daySections are records of days: each test with what limits it and what is
// not good first, then who worked at what, the files of then beside those of these papers, and every line.
func daySections(days []*dayAnswers, files map[string]string) []paper.Section {
	if len(days) == 0 {
		return nil
	}
	sections := []paper.Section{{ID: "bench", Title: "The bench record",
		Text: []string{"What was tested at the hardware, as it was kept step by step. A record is added to and never rewritten; its seal is the SHA-256 of all of it."}}}
	for i, a := range days {
		id := "day-" + strconv.Itoa(i+1)
		s := paper.Section{ID: id, Title: a.File, Inside: true}
		for n, line := range a.state() {
			if line = titled(line) + "."; n == 0 {
				s.Verdict = line
			} else {
				s.Text = append(s.Text, line)
			}
		}
		read := dayFiles(a, files)
		if other := slices.DeleteFunc(slices.Clone(read), func(f dayFile) bool { return f.mark != otherFile }); len(other) > 0 {
			s.Text = append(s.Text, fmt.Sprintf("NOT THE FILES OF THESE PAPERS: %s since, or the tests were made with others of the same name.", changedFiles(len(other))))
		}
		for _, t := range []paper.Table{a.testTable(id + "-tests"), a.phaseTable(id + "-phases"), openTable(id, a), workTable(id, a), dayFileTable(id, read), lineTable(id, a)} {
			if len(t.Rows) > 0 {
				s.Parts = append(s.Parts, tablePart(t))
			}
		}
		sections = append(sections, s)
	}
	return sections
}

func changedFiles(n int) string {
	if n == 1 {
		return "1 file was changed"
	}
	return fmt.Sprintf("%d files were changed", n)
}

// openTable is the steps whose last answer is not good.
func openTable(id string, a *dayAnswers) paper.Table {
	t := paper.Table{Name: id + "-open", Caption: "What is not good", Head: []string{"board", "pins", "step", "found", "legs", "who", "time (UTC)"}}
	for _, s := range a.Open {
		t.Rows = append(t.Rows, []string{s.Answer.Board, strings.Join(s.Answer.Pins, " "), s.Answer.Step, s.found(), strings.Join(s.Answer.Legs, "; "), s.Who, stamp(s.At)})
	}
	return t
}

// workTable is when the work was begun, with what, and who the hardware said it is.
func workTable(id string, a *dayAnswers) paper.Table {
	t := paper.Table{Name: id + "-work", Caption: "Who worked, with what, and what the hardware said it is", Head: []string{"time (UTC)", "who", "what", "words"}}
	for _, s := range a.Entries {
		switch {
		case s.Begin != nil:
			t.Rows = append(t.Rows, []string{stamp(s.At), s.Who, "begun", fmt.Sprintf("%s, %s, in %s, out %s, %s", s.Begin.Instrument, count(s.Begin.Steps, "step"), orNone(s.Begin.In), orNone(s.Begin.Out), s.Begin.Program)})
		case s.Identity != "":
			t.Rows = append(t.Rows, []string{stamp(s.At), s.Who, "identity reply", s.Identity})
		case s.Answer == nil && s.Words != "":
			t.Rows = append(t.Rows, []string{stamp(s.At), s.Who, s.Kind, s.Words})
		}
	}
	return t
}

// How a file of a record stands to these papers.
const (
	sameFile  = "the same"
	otherFile = "NOT THE SAME"
	noFile    = "none of theirs"
)

// dayFile is a file that a record names.
type dayFile struct {
	name, digest string
	line         int // of the record, the first that has it so
	mark         string
}

// dayFiles holds the files of a record to those of the papers, by what is in
// them; a file of the same name that says something else is another.
func dayFiles(a *dayAnswers, files map[string]string) (list []dayFile) {
	same, named := map[string]bool{}, map[string]bool{}
	for name, sum := range files {
		same[sum], named[filepath.Base(name)] = true, true
	}
	for _, s := range a.Entries {
		for _, name := range slices.Sorted(maps.Keys(s.Files)) {
			f := dayFile{name, s.Files[name], s.Line, noFile}
			switch {
			case slices.ContainsFunc(list, func(g dayFile) bool { return g.name == f.name && g.digest == f.digest }):
				continue
			case same[f.digest]:
				f.mark = sameFile
			case named[filepath.Base(name)]:
				f.mark = otherFile
			}
			list = append(list, f)
		}
	}
	return list
}

func dayFileTable(id string, read []dayFile) paper.Table {
	t := paper.Table{Name: id + "-files", Caption: "The files of the record, by their SHA-256, beside those of these papers", Head: []string{"file", "digest", "of these papers", "line"}}
	for _, f := range read {
		t.Rows = append(t.Rows, []string{f.name, strings.TrimPrefix(f.digest, "sha256:"), f.mark, strconv.Itoa(f.line)})
	}
	return t
}

// lineTable is every line of a record.
func lineTable(id string, a *dayAnswers) paper.Table {
	t := paper.Table{Name: id + "-lines", Caption: "Every line of the record", Head: []string{"line", "time (UTC)", "who", "what", "found"}, Apart: len(a.Entries) > printedOfDay}
	for _, s := range a.Entries {
		what, found := s.told()
		t.Rows = append(t.Rows, []string{strconv.Itoa(s.Line), stamp(s.At), s.Who, what, found})
	}
	return t
}

func stamp(at time.Time) string { return at.UTC().Format(time.DateTime) }
