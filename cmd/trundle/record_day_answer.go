package main

import (
	"cmp"
	"crypto/sha256"
	"fmt"
	"slices"
	"strings"
	"time"
)

// dayAnswers is a record, in the shape of schema trundle.day/1.
type dayAnswers struct {
	Schema  string     `json:"schema"`
	File    string     `json:"file"`
	Seal    string     `json:"seal"`
	Whole   bool       `json:"whole"` // no line was cut off or changed, and none is missing or too many
	Broken  []int      `json:"broken"`
	Changed []int      `json:"changed"`
	Damaged []int      `json:"damaged"`
	Signed  *daySigned `json:"signed"` // null when no seal was asked about
	Tested  int        `json:"tested"` // steps that were tried
	Steps   int        `json:"steps"`  // of the last walk
	dayCounts
	Phases  []dayPhase `json:"phases"` // of the walk, those not begun too where the record names them
	Who     []string   `json:"who"`
	Entries []dayShow  `json:"entries"`
	Tests   []dayShow  `json:"tests"` // the last of each
	Open    []dayShow  `json:"open"`  // the last answers to steps that are not good, and the failures of the last tests
	Walks   []*dayWalk `json:"walks"` // apart for each instrument, that of the last session last
	seals   []string   // of the record up to each line
}

// daySigned is a seal that was written down, and the line of the record up to which it
// holds.
type daySigned struct {
	Seal string `json:"seal"`
	Line int    `json:"line"` // 0 where it holds for none
}

// weak says of few digits how little they tell.
func (s *daySigned) weak() string {
	if len(s.Seal) >= enoughDigits {
		return ""
	}
	return fmt.Sprintf(", as far as %d digits of the seal tell", len(s.Seal))
}

// hold holds a record to a seal, or to the digits that it begins with.
func (a *dayAnswers) hold(digits string) {
	a.Signed = &daySigned{digits, 1 + slices.IndexFunc(a.seals, func(s string) bool { return strings.HasPrefix(s, "sha256:"+digits) })}
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
	Round    *dayRound         `json:"round"`
	Test     *dayTest          `json:"test"`
}

// showOf is a line as it is shown, by its number from 0.
func showOf(i int, l dayLine) dayShow {
	show := dayShow{i + 1, l.Kind, l.At, l.Who, l.Words, l.Identity, l.Files, l.Begin, l.Answer, l.Round, l.Test}
	if show.Files == nil {
		show.Files = map[string]string{}
	}
	return show
}

// of names the instrument of an answer, unless it is that of the last walk.
func (s dayShow) of(instrument string, last bool) dayShow {
	if !last {
		answer := *s.Answer
		answer.Step += " of " + instrument
		s.Answer = &answer
	}
	return s
}

func answerDay(file string, lines []dayLine, seal string) *dayAnswers {
	a := &dayAnswers{Schema: "trundle.day/1", File: file, Seal: seal, Broken: []int{}, Changed: []int{}, Damaged: []int{},
		Who: []string{}, Entries: []dayShow{}, Tests: []dayShow{}, Open: []dayShow{}}
	place := map[string]int{} // of tests in their list
	for i, l := range lines {
		a.seals = append(a.seals, l.Seal)
		if l.Damaged {
			a.Damaged = append(a.Damaged, i+1)
		}
		if l.Changed {
			a.Changed = append(a.Changed, i+1)
		}
		if l.Broken {
			a.Broken = append(a.Broken, i+1)
		}
		if l.Schema != dayEntrySchema {
			continue
		}
		show := showOf(i, l)
		a.Entries = append(a.Entries, show)
		if l.Who != "" && !slices.Contains(a.Who, l.Who) {
			a.Who = append(a.Who, l.Who)
		}
		if l.Test != nil {
			a.Tests = later(a.Tests, show, place, l.Test.title())
		}
	}
	a.Walks, a.Phases = append([]*dayWalk{}, walksOf(lines)...), []dayPhase{}
	for i, w := range a.Walks {
		last := i == len(a.Walks)-1
		for _, s := range w.counting() {
			if !s.Answer.Good {
				a.Open = append(a.Open, s.of(w.Instrument, last))
			}
		}
		if last {
			a.Steps, a.Tested, a.dayCounts, a.Phases = w.Steps, w.Tested, w.dayCounts, phasesOf(w.counting(), w.phases)
		}
	}
	for _, s := range a.Tests {
		a.Open = append(a.Open, s.failures()...)
	}
	slices.SortStableFunc(a.Open, func(x, y dayShow) int { return cmp.Compare(x.Answer.Board, y.Answer.Board) })
	a.Whole = len(a.Broken)+len(a.Changed)+len(a.Damaged) == 0
	return a
}

// later puts what was found later in the place of what was found before.
func later(list []dayShow, s dayShow, place map[string]int, of string) []dayShow {
	if i, before := place[of]; before {
		list[i] = s
		return list
	}
	place[of] = len(list)
	return append(list, s)
}

// failures are what is not good of a test, each as the answer to a step.
func (s dayShow) failures() (list []dayShow) {
	if s.Test.Good {
		return nil
	}
	add := func(f dayFailure) {
		show := s
		show.Test, show.Answer = nil, &dayAnswer{Step: s.Test.title(), Phase: s.Test.Test, Do: f.What, Verdict: f.What, Board: f.Board, Pins: f.Pins, Legs: f.Legs}
		list = append(list, show)
	}
	for _, f := range s.Test.Failures {
		add(f)
	}
	if list == nil {
		add(dayFailure{What: strings.Join(s.Test.Found, ", "), Pins: []string{}, Legs: []string{}})
	}
	return list
}

// bad reports whether something is not good, or the record is not whole, or not as
// it was signed.
func (a *dayAnswers) bad() bool {
	return !a.Whole || len(a.Open) > 0 || a.Signed != nil && a.Signed.Line == 0
}

// why says why a record is bad.
func (a *dayAnswers) why() string {
	var list []string
	if !a.Whole {
		list = append(list, "it is not whole")
	}
	if a.Signed != nil && a.Signed.Line == 0 {
		list = append(list, "it is not as it was signed")
	}
	if n := len(a.Open); n == 1 {
		list = append(list, "1 thing in it is not good")
	} else if n > 0 {
		list = append(list, fmt.Sprintf("%d things in it are not good", n))
	}
	return a.File + ": " + strings.Join(list, ", and ")
}

// by is who answered or tested, and who left notes alone.
func (a *dayAnswers) by() (answered, noted []string) {
	for _, who := range a.Who {
		if slices.ContainsFunc(a.Entries, func(e dayShow) bool { return e.Who == who && e.Kind != "note" }) {
			answered = append(answered, who)
		} else {
			noted = append(noted, who)
		}
	}
	return answered, noted
}

// state is what is to be known of a record before all else.
func (a *dayAnswers) state() []string {
	var list []string
	if len(a.Walks) == 0 && len(a.Tests) == 0 {
		list = append(list, "no step was tested")
	}
	for _, w := range slices.Backward(a.Walks) {
		text := fmt.Sprintf("%d of %s tested: %v", w.Tested, count(w.Steps, "step"), w.dayCounts)
		if len(a.Walks) > 1 {
			text = w.Instrument + ": " + text
		}
		list = append(append(list, text), restText(w.Again, w.Gone)...)
	}
	for _, s := range a.Tests {
		list = append(list, "test "+s.Test.title()+": "+s.Test.verdict())
	}
	answered, noted := a.by()
	if len(answered) > 0 {
		list = append(list, "answered by "+strings.Join(answered, ", "))
	}
	if len(noted) > 0 {
		list = append(list, "notes by "+strings.Join(noted, ", "))
	}
	for _, line := range a.Changed {
		list = append(list, fmt.Sprintf("NOT WHOLE: line %d was changed after it was written", line))
	}
	for _, line := range a.Damaged {
		list = append(list, fmt.Sprintf("NOT WHOLE: line %d was cut off", line))
	}
	if len(a.Broken) > 0 && !slices.ContainsFunc(slices.Concat(a.Changed, a.Damaged), func(line int) bool { return line < a.Broken[0] }) {
		list = append(list, fmt.Sprintf("NOT WHOLE: before line %d lines were taken out, put in or moved", a.Broken[0]))
	}
	switch {
	case a.Signed == nil:
	case a.Signed.Line == 0 && len(a.Signed.Seal) < 2*sha256.Size:
		list = append(list, "NOT AS SIGNED: it never had a seal that begins with "+a.Signed.Seal)
	case a.Signed.Line == 0:
		list = append(list, "NOT AS SIGNED: it never had the seal "+a.Signed.Seal)
	case a.Signed.Line < len(a.seals):
		list = append(list, fmt.Sprintf("as signed up to line %d%s; %s added since", a.Signed.Line, a.Signed.weak(), count(len(a.seals)-a.Signed.Line, "line")))
	default:
		list = append(list, "as signed"+a.Signed.weak())
	}
	return append(list, "seal "+a.Seal)
}

// title is a test, what it was made on, the plugs that it was made through, and the
// ports. A test through one plug tells nothing of what another leads to.
func (t *dayTest) title() string {
	title := t.Test + " of " + t.On
	if plugs, _ := t.loop(); plugs != "" {
		title += " through the plug " + plugs
	}
	return title + t.over()
}

// throughPlugs begins what a test says that was made through a looped plug.
const throughPlugs = "only what leads through the plug "

// loop is the plugs that a test was made through, and how many outputs of how many
// that is; "" for a test of all. A record holds it in words only.
func (t *dayTest) loop() (plugs, outputs string) {
	for _, line := range t.Found {
		if rest, ok := strings.CutPrefix(line, throughPlugs); ok {
			plugs, outputs, _ = strings.Cut(rest, " was tried, ")
			return plugs, outputs
		}
	}
	return "", ""
}

// over is the ports of a test: the same test over others is another.
func (t *dayTest) over() string {
	switch {
	case t.In == "" && t.Out == "":
		return ""
	case t.In == t.Out || t.Out == "":
		return " over " + t.In
	case t.In == "":
		return " over " + t.Out
	}
	return " over " + t.In + " and " + t.Out
}

// verdict is what a test came to, and of how much where it was not all.
func (t *dayTest) verdict() string {
	text := "not good"
	if t.Good {
		text = "good"
	}
	if _, outputs := t.loop(); outputs != "" {
		text += ", only " + outputs + " tried"
	}
	return text
}
