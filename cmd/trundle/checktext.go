package main

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"trundle/console/finding"
	"trundle/sim/wiring"
)

// report writes a check's answer as text.
type report struct {
	strings.Builder
	ink     ink
	sources excerpts
}

// findings writes every finding with its line of the file.
func (r *report) findings(list []finding.Finding) {
	for _, f := range list {
		fmt.Fprintf(r, "%s: %s: %s %s\n", r.ink.bold(f.Place.String()), r.severity(f.Severity), f.Message, r.ink.cyan("["+f.Rule+"]"))
		r.excerpt(f.Place)
		if f.Fix != "" {
			fmt.Fprintf(r, "    fix: %s\n", f.Fix)
		}
		for _, also := range f.Related {
			fmt.Fprintf(r, "    see %s: %s\n", also.Place, also.Message)
		}
		r.WriteString("\n")
	}
}

func (r *report) severity(s finding.Severity) string {
	switch s {
	case finding.Error:
		return r.ink.red(string(s))
	case finding.Warning:
		return r.ink.yellow(string(s))
	}
	return r.ink.cyan(string(s))
}

func (r *report) excerpt(p finding.Place) {
	text, caret, ok := r.sources.at(p)
	if !ok {
		return
	}
	number := fmt.Sprintf("%5d", p.Line)
	fmt.Fprintf(r, "%s | %s\n", number, text)
	if p.Column > 0 {
		fmt.Fprintf(r, "%s | %s\n", strings.Repeat(" ", len(number)), r.ink.bold(caret))
	}
}

// proof writes the verdict and, where there is one, the state in which the
// relay goes wrong, with the command that shows it.
func (r *report) proof(p *proofAnswer, replay string) {
	fmt.Fprintf(r, "%s %s", r.ink.bold("proof:"), r.verdict(p))
	if p.Reason != "" {
		fmt.Fprintf(r, ": %s", p.Reason)
	}
	r.WriteString("\n")
	if c := p.Counterexample; c != nil {
		fmt.Fprintf(r, "  the smallest case: %s, %s\n", heldInWords(c.Play), drawnInWords(c.Draw))
		r.list("should open and does not", c.Missing)
		r.list("opens and should not", c.Extra)
		if slices.Equal(c.Pins, c.FaultPins) {
			r.list("pins at fault", c.Pins)
		} else {
			r.list("pins that show it", c.Pins)
			r.list("pins at fault", inRuns(c.FaultPins))
		}
		if len(c.FaultPins) == 0 {
			var rows []string
			for _, row := range c.FaultRows {
				rows = append(rows, finding.Place(row).String())
			}
			r.list("rows at fault", rows)
		}
		fmt.Fprintf(r, "  see it: %s\n", replay)
	}
	if len(p.Outside) > 0 {
		var kinds []string
		for _, kind := range slices.Sorted(maps.Keys(p.Outside)) {
			kinds = append(kinds, fmt.Sprintf("%d %s", p.Outside[kind], kind))
		}
		fmt.Fprintf(r, "  pins the proof says nothing about: %s\n", strings.Join(kinds, ", "))
	}
	if p.Unshown > 0 {
		fmt.Fprintf(r, "  left out: %s on other boards; without --boards all are listed\n", count(p.Unshown, "finding"))
	}
	r.WriteString("\n")
}

func (r *report) verdict(p *proofAnswer) string {
	switch p.Verdict {
	case "equal":
		return r.ink.green("equal") + fmt.Sprintf(", all %s in every state of keys and controls", count(p.Outputs, "valve")) + leftOut(p)
	case "different":
		return r.ink.red("different") + fmt.Sprintf(", %d of %s in some state of keys and controls", p.Differing, count(p.Outputs, "valve")) + leftOut(p)
	case "not-decided":
		return r.ink.red("not decided")
	}
	return r.ink.red("not run")
}

// leftOut says how many valves nobody looked at.
func leftOut(p *proofAnswer) string {
	if len(p.Boards) == 0 {
		return ""
	}
	return fmt.Sprintf("; %d left out, of which nothing hangs on %s", p.LeftOut, strings.Join(p.Boards, ", "))
}

// waived lists what was set aside, and why.
func (r *report) waived(list []waivedAnswer) {
	for _, w := range list {
		fmt.Fprintf(r, "%s: waived %s: %s %s\n    because: %s (%s)\n\n", finding.Place(w.placeAnswer), w.Severity, w.Message,
			r.ink.cyan("["+w.Rule+"]"), w.Reason, finding.Place(w.By))
	}
}

func (r *report) list(what string, items []string) {
	if len(items) > 0 {
		fmt.Fprintf(r, "    %s: %s\n", what, strings.Join(items, ", "))
	}
}

// inRuns writes pins by board, with runs: X3.1..12.
func inRuns(pins []string) (runs []string) {
	for len(pins) > 0 {
		board, _, _ := strings.Cut(pins[0], ".")
		var numbers []int
		for len(pins) > 0 {
			b, pin, _ := strings.Cut(pins[0], ".")
			if b != board {
				break
			}
			n, _ := strconv.Atoi(pin) // the name of a terminal ends in its number
			numbers, pins = append(numbers, n), pins[1:]
		}
		runs = append(runs, board+"."+strings.ReplaceAll(wiring.FormatNumbers(numbers), " ", ","))
	}
	return runs
}

// heldInWords is --play in words: hold great C4 E4 and pedal C2.
func heldInWords(play []string) string {
	if len(play) == 0 {
		return "hold no key"
	}
	words := make([]string, len(play))
	for i, one := range play {
		keyboard, keys, _ := strings.Cut(one, ":")
		words[i] = keyboard + " " + strings.ReplaceAll(keys, ",", " ")
	}
	return "hold " + strings.Join(words, " and ")
}

func drawnInWords(draw []string) string {
	if len(draw) == 0 {
		return "draw nothing"
	}
	return "draw " + strings.Join(draw, ", ")
}

// foreman is the one line that decides whether work goes on. Where only some
// boards count it speaks of them.
func foreman(name string, counts countsAnswer, p *proofAnswer) string {
	if p != nil && len(p.Boards) > 0 {
		name += ", " + strings.Join(p.Boards, ", ") + " only"
	}
	return name + ": " + decision(counts, p) + others(counts)
}

func decision(counts countsAnswer, p *proofAnswer) string {
	errors := count(counts.Error, "error")
	switch {
	case p == nil && counts.Error == 0:
		return "the instrument is in order"
	case p == nil:
		return errors + " to put right in the instrument"
	case p.Verdict == "equal" && counts.Error == 0:
		return "go ahead, this relay plays it"
	case p.Verdict == "equal" && counts.Error == 1:
		return "do not solder yet, the relay plays it but 1 error is to be put right"
	case p.Verdict == "equal":
		return "do not solder yet, the relay plays it but " + errors + " are to be put right"
	case p.Verdict == "different":
		return fmt.Sprintf("do not solder, %s to put right, %s wrong", errors, count(p.Differing, "valve"))
	case p.Verdict == "not-decided":
		return fmt.Sprintf("do not solder, %s to put right and the relay is not proven", errors)
	}
	return fmt.Sprintf("do not solder, %s to put right before the relay can be compared", errors)
}

// others is the findings that are no errors, in brackets.
func others(counts countsAnswer) string {
	var parts []string
	if counts.Warning > 0 {
		parts = append(parts, count(counts.Warning, "warning"))
	}
	if counts.Note > 0 {
		parts = append(parts, count(counts.Note, "note"))
	}
	if len(parts) == 0 {
		return ""
	}
	return " (" + strings.Join(parts, ", ") + ")"
}
