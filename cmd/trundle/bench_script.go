package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/bench"
	"trundle/sim/walk"
)

// scriptRun is a script with what it works.
type scriptRun struct {
	script bench.Script
	path   string
	in     *console.Instrument // nil without --on
	m      *mapping.Map
}

// loadScript reads a script, with the instrument that it works if there is one.
func loadScript(stderr io.Writer, path, on string) (scriptRun, error) {
	s := scriptRun{path: path}
	if err := readable(path); err != nil {
		return s, err
	}
	if on != "" {
		var err error
		if s.in, s.m, err = loadClearMap(stderr, on); err != nil {
			return s, err
		}
	}
	read := func(path string) ([]byte, error) {
		data, err := os.ReadFile(path)
		if err != nil {
			err = reason(err)
		}
		return data, err
	}
	script, found := bench.ReadScript(path, read, s.in, s.m)
	if len(found) > 0 {
		return s, broken{findings: found, check: "trundle bench --help"}
	}
	s.script = script
	return s, nil
}

// run does the script, and silences the organ.
func (s scriptRun) run(cmd *cobra.Command, ports cableFlags, kept *transcript) (*benchAnswer, error) {
	var isKey func(midiio.Message) bool
	if s.m != nil {
		isKey = s.m.IsKey
	}
	c, err := ports.open(isKey, true)
	if err != nil {
		return nil, err
	}
	began := c.clock()
	run := bench.NewRun(s.script, s.in, s.m)
	ask := newAsker(cmd.InOrStdin(), cmd.ErrOrStderr())
	progress, shown := progressOn(cmd.ErrOrStderr()), 0
	c.flooded = run.Break
	err = c.run(scripted{run, ask, c.clock}, run.Done, func(t midiio.Timed, sent bool) {
		kept.message(t, sent)
		if sent {
			run.Left(c.clock() + c.out.Backlog().Time)
		}
		for ; shown < len(run.Results); shown++ {
			kept.result(run.Results[shown])
		}
		progress.steps(len(run.Results))
	})
	progress.clear()
	done, of := run.Steps()
	if !run.Done() {
		run.Break(whyEnded(err))
		run.Tick(nil, c.clock())
	}
	for ; shown < len(run.Results); shown++ {
		kept.result(run.Results[shown])
	}
	took := c.clock() - began
	closed := c.close(kept, run.Rest(nil, c.clock())...)
	a := answerBench(s.path, run.Results, took)
	if errors.Is(err, errInterrupted) {
		tellInterrupted(cmd.ErrOrStderr(), s.path, fmt.Sprintf("after %d of %s", done, count(of, "step")), closed)
		return a, errors.Join(err, closed)
	}
	a.Left = leftBy(closed)
	return a, nil
}

func whyEnded(err error) string {
	if errors.Is(err, errInterrupted) {
		return "interrupted"
	}
	return err.Error()
}

// result keeps what became of a step.
func (t *transcript) result(r bench.Result) {
	why := ""
	if r.Why != "" {
		why = ": " + r.Why
	}
	t.line("# %.6f %s %s: %s%s", r.When.Seconds(), r.At, r.Verdict, r.Text, why)
}

// steps shows how far a script is.
func (p progress) steps(done int) {
	if p.to != nil {
		fmt.Fprintf(p.to, "\r%s checked\x1b[K", count(done, "step"))
	}
}

// scripted is a run whose questions are answered.
type scripted struct {
	*bench.Run
	ask   *asker
	clock midiio.Clock
}

// answerWait is how often it is looked whether a question is answered.
const answerWait = 20 * time.Millisecond

func (s scripted) Next() (time.Duration, bool) {
	if _, asks := s.Asks(); asks {
		return s.clock() + answerWait, true
	}
	return s.Run.Next()
}

func (s scripted) Tick(to []midiio.Message, now time.Duration) []midiio.Message {
	to = s.Run.Tick(to, now)
	if question, asks := s.Asks(); asks {
		if answer, answered := s.ask.about(question); answered {
			if words, err := answerTo(question, answer); err != nil {
				fmt.Fprintln(s.ask.to, err)
			} else {
				s.Answer(now, words)
			}
		}
	}
	return to
}

// answerTo is a line as a run takes it: y, n, or what is wrong. It is read as a walk
// reads one, where what says that nothing sounds is good if that is what is asked.
func answerTo(question, line string) (words string, err error) {
	line = strings.TrimSpace(line)
	switch first := strings.ToLower(strings.TrimRight(line, ".!")); first {
	case "y", "yes", "n", "no", nobodyAnswered:
		return first, nil
	}
	step := walk.Step{Phase: walk.Pipes, Good: walk.Good, Expect: "it speaks"}
	for _, word := range []string{"silent", "silence", "quiet", "nothing"} {
		if strings.Contains(strings.ToLower(question), word) {
			step.Expect = "nothing speaks"
		}
	}
	a, err := walk.Read(step, line)
	switch {
	case err != nil:
		return "", err
	case a.Verdict == walk.Skipped:
		return "", errors.New("a script skips no question: write y, n, or what is wrong")
	case a.Verdict.IsGood():
		return "y", nil
	}
	return line, nil
}

// nobodyAnswered stands for an answer where there is nobody to give one.
const nobodyAnswered = "nobody answered"

// asker puts questions to whoever sits at the terminal.
type asker struct {
	lines  chan string
	from   io.Reader
	to     io.Writer
	asked  bool
	listen bool
}

func newAsker(from io.Reader, to io.Writer) *asker {
	return &asker{lines: make(chan string), from: from, to: to}
}

// about is the answer to a question, once there is one; without anyone to
// answer it is that.
func (a *asker) about(question string) (answer string, answered bool) {
	if !a.listen {
		a.listen = true
		go func() {
			lines := bufio.NewScanner(a.from)
			for lines.Scan() {
				a.lines <- lines.Text()
			}
			close(a.lines)
		}()
	}
	if !a.asked {
		a.asked = true
		fmt.Fprintf(a.to, "%s [y, n, or what is wrong] ", question)
	}
	select {
	case line, open := <-a.lines:
		a.asked = false
		if !open {
			line = nobodyAnswered
		}
		return line, true
	default:
		return "", false
	}
}
