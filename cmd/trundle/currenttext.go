package main

import (
	"fmt"
	"strings"

	"trundle/console/finding"
)

// currentText is the answer as text.
func currentText(a *currentAnswer, ink ink) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n\n%-7s %-16s %8s %11s %8s %8s %8s %8s %8s\n", ink.bold(a.name+": amps"),
		"", "", "rated", "everything", "chord", "at most", "settled", "cluster", "one")
	for _, l := range a.Lines {
		most := "proven"
		if !l.Chord.Exact {
			most = amps(l.Chord.Bound)
		}
		fmt.Fprintf(&b, "%-7s %-16s %8s %11s %8s %8s %8s %8s %8s\n", l.Kind, l.ID, dash(l.Rated), amps(l.Everything),
			amps(l.Chord.Amps), most, dash(l.Settled), amps(l.Cluster.Amps), amps(l.One))
	}
	b.WriteString("\nworst chords, all with --draw " + shellQuote(strings.Join(a.Draw, ",")) + "\n")
	for _, l := range a.Lines {
		if l.Kind == "supply" || l.Kind == "fuse" {
			fmt.Fprintf(&b, "  %s %s: %s\n", l.Kind, l.ID, playWords(l.Chord.Play))
		}
	}
	a.dropText(&b)
	for _, c := range a.Changes {
		fmt.Fprintf(&b, "\nmoving %s of supply %s: %s A at once, %s A as they are grouped, in %.0f ms\n",
			count(c.Coils, "knob"), c.Supply, amps(c.AtOnce), amps(c.Stepped), float64(c.Millis))
	}
	if a.Asked != nil {
		fmt.Fprintf(&b, "\nwith --draw %s %s\n", shellQuote(strings.Join(a.Asked.Draw, ",")), playWords(a.Asked.Play))
		for _, l := range a.Asked.Amps {
			fmt.Fprintf(&b, "  %-7s %-16s %8s\n", l.Kind, l.ID, amps(l.Amps))
		}
	}
	if len(a.Findings) > 0 {
		b.WriteString("\n")
	}
	for _, f := range a.Findings {
		place := finding.Place{File: f.File, Line: f.Line, Column: f.Column}
		fmt.Fprintf(&b, "%s: %s: %s\n", place, f.Severity, complaint{f.Message, f.Fix})
	}
	b.WriteString("\n" + a.Caution + "\n")
	return b.String()
}

func (a *currentAnswer) dropText(b *strings.Builder) {
	d := a.Drop
	if d == nil {
		return
	}
	needs := ""
	if d.Needs != nil {
		needs = fmt.Sprintf(" of the %.2f V that it needs", float64(*d.Needs))
	}
	fmt.Fprintf(b, "\nthe least is left to %s: %.2f V%s, hot, with %s\n", d.Load, float64(d.Volts), needs, playWords(d.Play))
	for _, h := range d.Hops {
		fmt.Fprintf(b, "  %-40s %8.3f V\n", h.Where, float64(h.Volts))
	}
}

// playWords are keys as sound takes them.
func playWords(play []string) string {
	if len(play) == 0 {
		return "no key"
	}
	words := make([]string, len(play))
	for i, p := range play {
		words[i] = "--play " + shellQuote(p)
	}
	return strings.Join(words, " ")
}

func dash(a *rounded) string {
	if a == nil {
		return "-"
	}
	return amps(*a)
}
