package main

import (
	"cmp"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"trundle/sim/walk"
)

// justNow is how long an answer of someone else counts as just given: a line that
// is written then may be meant for the step before. Common practice, no source.
const justNow = time.Second

// line takes what a person wrote.
func (k *walker) line(l written, now time.Duration) error {
	if l.joins != nil {
		fmt.Fprintf(k.out, "  %s has joined\n", l.who)
		k.show(l.joins)
		return nil
	}
	word := strings.ToLower(strings.TrimRight(strings.TrimSpace(l.text), ",;:.!"))
	switch word {
	case "":
		return nil
	case "?", "help":
		k.help()
		return nil
	case "quit", "exit":
		fmt.Fprintln(k.out, "  write end to stop here")
		return nil
	}
	if k.start > 0 { // the step was not tried yet
		k.early = append(k.early, l)
		return nil
	}
	if word == "end" {
		k.ended = k.ended || l.who == "" // the others only leave
		return nil
	}
	if k.moved && l.who != k.by && now < k.asked+justNow && (k.by != thePort || word != k.wait) {
		k.moved = false
		fmt.Fprintf(k.out, "  %s answered just now: write %s again if it is for this step\n", cmp.Or(k.named(k.by), "the first terminal"), word)
		return nil
	}
	switch {
	case word == k.wait:
		k.ready(now)
		return nil
	case word == "clear", word == "done":
		fmt.Fprintln(k.out, "  nothing waits for that")
		return nil
	case word == "again":
		k.release(now)
		k.ask(k.at, now)
		return nil
	case goesTo(word) > 0:
		k.goTo(goesTo(word)-1, now)
		return nil
	case word == "back":
		k.release(now)
		k.ask(max(0, k.at-1), now)
		return nil
	case word == "next":
		k.release(now)
		k.next(now)
		return nil
	case word == "rest" && k.wait != "":
		k.untried()
		return nil
	case word == "rest":
		k.by = l.who
		return k.rest(k.named(l.who), now)
	}
	q := k.question
	k.question = nil
	switch {
	case q == nil:
	case q.Yes != nil && (word == "y" || word == "yes"):
		a := *q.Yes
		a.Who, k.by = k.named(l.who), l.who
		return k.answer(a, now)
	case q.Yes != nil && (word == "n" || word == "no"):
		fmt.Fprintln(k.out, "  it is not kept: write the reading, good, or what is wrong")
		return nil
	case q.Number != "" && walk.IsUnit(word):
		l.text = q.Number + l.text
	}
	a, err := walk.Read(k.w.Steps[k.at], l.text)
	if a.Taken != "" {
		fmt.Fprintf(k.out, "  %s\n", a.Taken)
	}
	if k.wait == "" {
		errors.As(err, &k.question)
	}
	if errors.Is(err, walk.ErrTaken) && k.wait == "" {
		k.amps, k.volts = cmp.Or(a.Amps, k.amps), cmp.Or(a.Volts, k.volts)
	}
	if err != nil {
		fmt.Fprintf(k.out, "  %v\n", err)
		return nil
	}
	if k.wait != "" && a.Verdict != walk.Skipped && a.Verdict != walk.Accept {
		k.untried()
		return nil
	}
	a.Who, k.by = k.named(l.who), l.who
	return k.answer(a, now)
}

// goesTo is the number of the step that a line asks for, 0 for none: goto 140, go to 140.
func goesTo(line string) int {
	number, is := strings.CutPrefix(strings.Join(strings.Fields(line), " "), "goto ")
	if !is {
		number, _ = strings.CutPrefix(strings.Join(strings.Fields(line), " "), "go to ")
	}
	n, err := strconv.Atoi(number)
	if err != nil || !strings.HasPrefix(line, "go") {
		return 0
	}
	return n
}

// goTo asks for a step, unless its phase has not begun.
func (k *walker) goTo(i int, now time.Duration) {
	if i >= len(k.w.Steps) {
		fmt.Fprintf(k.out, "  there are %s\n", count(len(k.w.Steps), "step"))
		return
	}
	if next, ok := k.w.Next(); ok && k.w.Steps[i].Phase > k.w.Steps[next].Phase {
		fmt.Fprintf(k.out, "  %d is of the phase %v, and %v comes first\n", i+1, k.w.Steps[i].Phase, k.w.Steps[next].Phase)
		return
	}
	k.release(now)
	k.ask(i, now)
}

// untried says of an answer that it comes too early.
func (k *walker) untried() {
	fmt.Fprintf(k.out, "  it was not tried yet: write %s when %s, or skip\n", k.wait, map[string]string{"clear": "the chamber is", "done": "it is"}[k.wait])
}

// help shows what can be said.
func (k *walker) help() { fmt.Fprint(k.out, sayings()) }

// sayings are what can be said in a walk, a line each.
func sayings() string {
	var b strings.Builder
	for _, s := range walk.Sayings {
		fmt.Fprintf(&b, "  %-23s %s\n", s.Say, s.Means)
	}
	return b.String()
}

// named is who wrote a line.
func (k *walker) named(who string) string {
	if who == "" {
		return k.who
	}
	return who
}

// rest answers a group to its end.
func (k *walker) rest(who string, now time.Duration) error {
	if k.w.Steps[k.at].Phase == walk.Sign {
		fmt.Fprintln(k.out, "  one by one")
		return nil
	}
	rest, measured := k.w.Rest(k.at)
	if len(measured) > 0 && measured[0] == k.at && (k.amps != nil || k.volts != nil) {
		rest, measured = append([]int{k.at}, rest...), measured[1:]
	}
	for _, i := range rest {
		s := k.w.Steps[i]
		a := walk.Answer{Step: s.ID, Verdict: s.Good, Words: "with its group", Who: who}
		if i == k.at {
			a.Amps, a.Volts = k.amps, k.volts
		}
		if err := errors.Join(k.w.Answer(a), k.keep(s, a)); err != nil {
			return err
		}
	}
	if len(rest) > 0 {
		fmt.Fprintf(k.out, "  %s, to %s: good%s\n", count(len(rest), "step"), k.w.Steps[rest[len(rest)-1]].ID, k.says(who))
	}
	if len(measured) > 0 {
		var ids []string
		for _, i := range measured {
			ids = append(ids, k.w.Steps[i].ID)
		}
		fmt.Fprintf(k.out, "  %s left open, as rest compares no reading (volts or amps): answer one by one %s\n", count(len(ids), "step"), someOf(ids))
	}
	if len(rest) == 0 {
		return nil
	}
	k.release(now)
	k.moved = true
	k.next(now)
	return nil
}

// answer takes an answer to the step that is asked for, and goes on.
func (k *walker) answer(a walk.Answer, now time.Duration) error {
	a.Amps, a.Volts = cmp.Or(a.Amps, k.amps), cmp.Or(a.Volts, k.volts)
	if silent := k.unreported(k.w.Steps[k.at], now); len(silent) > 0 && a.Verdict.IsGood() {
		a.Words = strings.TrimPrefix(a.Words+"; the relay did not report "+strings.Join(silent, ", "), "; ")
	}
	k.release(now)
	if err := k.take(k.at, a); err != nil {
		return err
	}
	k.moved = true
	k.next(now)
	return nil
}

func (k *walker) take(i int, a walk.Answer) error {
	if err := k.w.Answer(a); err != nil {
		return err
	}
	text := foundAt(k.w.Steps[i], a)
	if !a.Verdict.IsGood() {
		text = k.ink.red(text)
	}
	fmt.Fprintf(k.out, "  %s: %s%s\n", k.w.Steps[i].ID, text, k.says(a.Who))
	return k.keep(k.w.Steps[i], a)
}

// says names who answered, where that is not who walks.
func (k *walker) says(who string) string {
	if who == k.who || who == "" {
		return ""
	}
	return ", says " + who
}
