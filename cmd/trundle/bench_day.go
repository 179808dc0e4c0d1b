package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"trundle/sim/bench"
	"trundle/sim/walk"
)

// keeping is where a test is kept: its cable in a transcript, what came of it in
// a record of the day; "" for nowhere.
type keeping struct{ transcript, to, who string }

func addKeeping(cmd *cobra.Command) *keeping {
	k := &keeping{}
	cmd.Flags().StringVar(&k.transcript, "transcript", "", "keep all that goes over the cable in `FILE`")
	cmd.Flags().StringVar(&k.to, "to", "", "keep what came of it in `FILE`, a record of the day")
	cmd.Flags().StringVar(&k.who, "who", "", "with --to: `NAME` of who tests")
	return k
}

// ready complains before a test of a record that cannot be added to after it.
func (k keeping) ready() error {
	switch {
	case k.to == "" && k.who != "":
		return complaint{"--who stands in a record of the day", "name its file with --to"}
	case k.to == "":
		return nil
	}
	book, _, err := openDay(k.to, time.Now)
	if err != nil {
		return err
	}
	return book.close()
}

// day adds what came of a test to the record of the day, with the digests of the
// files that it was made with.
func (k keeping) day(ports cableFlags, came func() (dayTest, map[string]string)) error {
	if k.to == "" {
		return nil
	}
	t, files := came()
	t.In, t.Out = *ports.in.name, *ports.out.name
	return keepTest(k.to, k.who, files, t)
}

// inDay is what became of a script, for the record of the day.
func (a *benchAnswer) inDay() dayTest {
	t := dayTest{Test: "script", On: a.Script, Good: a.Failed+a.NotRun == 0 && a.Left == "", Found: []string{a.summary()}}
	for _, s := range a.Steps {
		if s.Verdict == bench.Failed {
			t.Failures = append(t.Failures, dayFailure{What: fmt.Sprintf("%s:%d: %s: %s", s.File, s.Line, s.Step, s.Why)})
		}
	}
	return t
}

// inDay is what a whole relay is like, for the record of the day.
func (a *wholeAnswer) inDay(t *wholeTest) dayTest {
	d := dayTest{Test: "whole", On: nameOf(t.in), Good: a.Verdict == "equal" && a.Left == "", Found: a.found()}
	if a.Loop != nil {
		for _, n := range a.Loop.NotTried {
			d.Found = append(d.Found, "not tried: "+n.What+": "+n.Why)
		}
	}
	for _, ways := range a.parts() {
		d.Failures = append(d.Failures, oneOf(ways, func(m mistakeAnswer) walk.Place { return walk.At(t.relay, t.in, m.fault.Pins) }))
	}
	if len(d.Failures) == 0 {
		for _, v := range a.Valves {
			d.Failures = append(d.Failures, dayFailure{What: v.String()})
		}
	}
	if len(d.Failures) == 0 && !d.Good {
		d.Failures = []dayFailure{{What: strings.Join(a.found(), "; ")}}
	}
	return d
}

// oneOf is a mistake of which nothing tells which it is: one thing that is not good,
// at several places to look.
func oneOf(mistakes []mistakeAnswer, at func(mistakeAnswer) walk.Place) dayFailure {
	var what, pins, legs []string
	board := ""
	for _, m := range mistakes {
		place := at(m)
		what, pins, legs = append(what, m.String()), append(pins, place.Pins...), append(legs, place.Legs...)
		board = cmp.Or(board, place.Board)
	}
	f := dayFailure{what[0], board, once(pins), once(legs)}
	if len(what) > 1 {
		f.What = "either " + strings.Join(what, "; or ")
	}
	return f
}

// once is a list with each thing once.
func once(list []string) []string {
	each := []string{}
	for _, s := range list {
		if !slices.Contains(each, s) {
			each = append(each, s)
		}
	}
	return each
}

// inDay is how fast and how surely a relay answers, for the record of the day.
func (a timesAnswer) inDay(on string) dayTest {
	var text strings.Builder
	a.end(&text)
	t := dayTest{Test: "time", On: on, Good: a.Verdict == "good" && a.Left == "", Found: strings.Split(strings.TrimSpace(text.String()), "\n")}
	for _, p := range a.Phases {
		if p.Asked > 0 {
			t.Found = append(t.Found, fmt.Sprintf("%s: %d asked, %v", p.Name, p.Asked, p.Trip))
		}
		if p.Lost+p.Doubled > 0 {
			t.Failures = append(t.Failures, dayFailure{What: fmt.Sprintf("%s: %d lost, %d doubled", p.Name, p.Lost, p.Doubled)})
		}
	}
	for _, v := range a.Stuck {
		t.Failures = append(t.Failures, dayFailure{What: v + ": still open when all was let go"})
	}
	if a.Why != "" {
		t.Failures = append(t.Failures, dayFailure{What: "not finished: " + a.Why})
	}
	return t
}
