package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strings"

	"trundle/console"
	"trundle/sim/circuit"
	"trundle/sim/listen"
	"trundle/sim/wiring"
)

// earAsker leads from what was heard to the mistake, by questions.
type earAsker struct {
	in    *console.Instrument
	relay *wiring.Relay
	l     *listen.Listener
	lines *bufio.Scanner
	out   io.Writer
	asked int
}

// ask asks until one mistake is left, or nothing tells those that are left apart,
// or there is no answer any more.
func (a *earAsker) ask(symptoms []listen.Symptom) error {
	for len(symptoms) == 0 {
		fmt.Fprintln(a.out, "what was heard?")
		line, more := a.line()
		if !more {
			return errBad
		}
		var err error
		if symptoms, err = readSymptoms(a.l, []string{line}); err != nil {
			fmt.Fprintln(a.out, err)
		}
	}
	q := a.l.Explain(symptoms)
	if !q.Whole {
		if err := answerSymptoms(a.in, a.relay, a.l, q).writeText(a.out); err != nil {
			return err
		}
		return errBad
	}
	for _, s := range symptoms {
		fmt.Fprintf(a.out, "heard: %s\n", s.Meaning)
	}
	var before []*listen.Inquiry
	for {
		names := namesOf(q, nil)
		question, is := listen.Question{}, false
		if len(names) > 1 {
			question, is = q.Next()
		}
		if !is {
			return a.end(q)
		}
		a.show(names, question)
		was := q.Copy()
		switch a.answer(q, question, len(before) > 0) {
		case "end":
			return a.end(q)
		case "back":
			q, before = before[len(before)-1], before[:len(before)-1]
			a.asked -= 2
		default:
			before = append(before, was)
		}
	}
}

// show shows a question.
func (a *earAsker) show(names []string, q listen.Question) {
	a.asked++
	fmt.Fprintf(a.out, "\n%s, such as %s\n", count(len(names), "mistake"), names[0])
	if q.Loud {
		fmt.Fprintln(a.out, "a reed: loud; hearing protection, and nobody beside the pipes")
	}
	fmt.Fprintf(a.out, "%d. press %s with %s\n", a.asked, pressed(circuit.PlayOf(a.in, keysOfChord(q.Held))), drawnWords(controlIDs(a.in, q.Draw)))
	var answers []string
	for i, m := range q.Answers {
		if i == mostAnswers {
			answers = append(answers, "...")
			break
		}
		answers = append(answers, q.Words(m.Heard))
	}
	fmt.Fprintf(a.out, "   %s?\n", strings.Join(answers, ", "))
}

// answer takes an answer. It is end where there is none any more, and back where the
// one before is taken back.
func (a *earAsker) answer(q *listen.Inquiry, question listen.Question, answered bool) (is string) {
	for {
		line, more := a.line()
		switch word := strings.ToLower(line); {
		case !more || word == "end":
			return "end"
		case word == "back" && answered:
			return "back"
		case word == "back":
			fmt.Fprintln(a.out, "   there is no answer to take back; end, and say anew what was heard")
			continue
		case word == "skip":
			q.Skip(question)
			return ""
		case word == "?" || word == "help":
			fmt.Fprintf(a.out, "   %s; skip for another key, back to take the last answer back, end for what is left\n", a.canSay(question))
			continue
		}
		key := console.Note(-1)
		if len(question.Held) > 0 {
			key = question.Held[0].Note
		}
		heard, err := listen.Answered(line, key)
		if slip, is := errors.AsType[*listen.Slip](err); is {
			fmt.Fprintln(a.out, slipText(slip))
			continue
		}
		if !q.Answer(question, heard) {
			fmt.Fprintln(a.out, "no single mistake sounds like that beside what was heard before: the answer is set aside; back takes back the one before it")
		}
		return ""
	}
}

// canSay is what can be said to a question.
func (a *earAsker) canSay(q listen.Question) string {
	if len(q.Held) == 0 {
		return "silent or ciphers"
	}
	return listen.CanSay
}

// line is the next line that is not empty, also shown where nobody types it.
func (a *earAsker) line() (string, bool) {
	for a.lines.Scan() {
		if line := strings.TrimSpace(a.lines.Text()); line != "" {
			fmt.Fprintf(a.out, "> %s\n", line)
			return line, true
		}
	}
	return "", false
}

// end says what is left.
func (a *earAsker) end(q *listen.Inquiry) error {
	fmt.Fprintln(a.out)
	return answerSymptoms(a.in, a.relay, a.l, q).writeText(a.out)
}
