package main

import (
	"encoding/xml"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"trundle/sim/bench"
)

// benchAnswer is what became of a script; in JSON it is schema trundle.bench/1.
type benchAnswer struct {
	Schema  string       `json:"schema"`
	Script  string       `json:"script"`
	Passed  int          `json:"passed"`
	Failed  int          `json:"failed"`
	NotRun  int          `json:"notRun"`
	Seconds float64      `json:"seconds"`
	Left    string       `json:"left"` // why something may be left sounding, "" when it is silent
	Steps   []stepAnswer `json:"steps"`
}

// stepAnswer is one step that checks something, or that failed.
type stepAnswer struct {
	File    string        `json:"file"`
	Line    int           `json:"line"`
	Column  int           `json:"column"`
	Step    string        `json:"step"`
	Verdict bench.Verdict `json:"verdict"`
	Why     string        `json:"why"`
	Millis  float64       `json:"millis"` // after which what was expected came
	At      float64       `json:"at"`     // seconds by the clock of the transcript
}

func answerBench(script string, results []bench.Result, took time.Duration) *benchAnswer {
	a := &benchAnswer{Schema: "trundle.bench/1", Script: script, Seconds: took.Seconds(), Steps: []stepAnswer{}}
	for _, r := range results {
		a.Steps = append(a.Steps, stepAnswer{r.At.File, r.At.Line, r.At.Column, r.Text, r.Verdict, r.Why, float64(r.After) / float64(time.Millisecond), r.When.Seconds()})
		switch r.Verdict {
		case bench.Passed:
			a.Passed++
		case bench.Failed:
			a.Failed++
		default:
			a.NotRun++
		}
	}
	return a
}

// show prints the answer; it is bad when a step failed.
func (a *benchAnswer) show(cmd *cobra.Command, form string) (err error) {
	switch form {
	case "json":
		err = writeJSON(cmd.OutOrStdout(), a)
	case "junit":
		err = a.junit(cmd.OutOrStdout())
	default:
		a.text(cmd.OutOrStdout())
	}
	return endTest(cmd, err, a.Left, a.Failed == 0)
}

// endTest says what may be left sounding after a test that has been answered, and
// whether its answer is good.
func endTest(cmd *cobra.Command, err error, left string, good bool) error {
	if left != "" {
		fmt.Fprintf(cmd.ErrOrStderr(), "trundle: %s\n", left)
	}
	if err == nil && (left != "" || !good) {
		err = errBad
	}
	return err
}

// leftBy is why something may be left sounding when a cable did not close well.
func leftBy(closed error) string {
	if closed == nil {
		return ""
	}
	return strings.ReplaceAll(closed.Error(), "\n", "; ")
}

func (a *benchAnswer) text(w io.Writer) {
	for _, s := range a.Steps {
		if s.Verdict == bench.Failed {
			fmt.Fprintf(w, "%s:%d:%d: failed: %s: %s\n", s.File, s.Line, s.Column, s.Step, s.Why)
		}
	}
	fmt.Fprintln(w, a.summary())
}

// summary is all of it in a line.
func (a *benchAnswer) summary() string {
	slowest := stepAnswer{}
	for _, s := range a.Steps {
		if s.Millis > slowest.Millis {
			slowest = s
		}
	}
	text := fmt.Sprintf("%d passed, %d failed, %d not run, in %.3f s", a.Passed, a.Failed, a.NotRun, a.Seconds)
	if slowest.Millis > 0 {
		text += fmt.Sprintf("; the slowest answer took %.1f ms: %s:%d", slowest.Millis, slowest.File, slowest.Line)
	}
	return text
}

// The elements that test runners read as JUnit's.
type (
	junitSuite struct {
		XMLName  xml.Name    `xml:"testsuite"`
		Name     string      `xml:"name,attr"`
		Tests    int         `xml:"tests,attr"`
		Failures int         `xml:"failures,attr"`
		Errors   int         `xml:"errors,attr"`
		Skipped  int         `xml:"skipped,attr"`
		Time     string      `xml:"time,attr"`
		Cases    []junitCase `xml:"testcase"`
	}
	junitCase struct {
		Class   string        `xml:"classname,attr"`
		Name    string        `xml:"name,attr"`
		Time    string        `xml:"time,attr"`
		Failure *junitMessage `xml:"failure"`
		Skipped *junitMessage `xml:"skipped"`
	}
	junitMessage struct {
		Message string `xml:"message,attr"`
	}
)

func (a *benchAnswer) junit(w io.Writer) error {
	seconds := func(s float64) string { return fmt.Sprintf("%.6f", s) }
	suite := junitSuite{Name: a.Script, Tests: len(a.Steps), Failures: a.Failed, Skipped: a.NotRun, Time: seconds(a.Seconds)}
	for _, s := range a.Steps {
		c := junitCase{Class: s.File, Name: fmt.Sprintf("%d: %s", s.Line, s.Step), Time: seconds(s.Millis / 1000)}
		switch s.Verdict {
		case bench.Failed:
			c.Failure = &junitMessage{s.Why}
		case bench.NotRun:
			c.Skipped = &junitMessage{s.Why}
		}
		suite.Cases = append(suite.Cases, c)
	}
	if _, err := io.WriteString(w, xml.Header); err != nil {
		return err
	}
	encoder := xml.NewEncoder(w)
	encoder.Indent("", "  ")
	if err := encoder.Encode(suite); err != nil {
		return err
	}
	_, err := io.WriteString(w, "\n")
	return err
}
