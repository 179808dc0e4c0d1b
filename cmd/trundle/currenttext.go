package main

import (
	"fmt"
	"strings"
)

// currentText is the answer as text.
func currentText(a *currentAnswer, ink ink) string {
	var b strings.Builder
	switch {
	case a.Sizes != nil:
		a.sizeText(&b, ink)
	case a.PowerUp != nil:
		a.powerText(&b, ink)
	default:
		a.loadText(&b, ink)
	}
	b.WriteString("\n" + a.Caution + "\n")
	return b.String()
}

// loadText is what every place carries, as text.
func (a *currentAnswer) loadText(b *strings.Builder, ink ink) {
	fmt.Fprintf(b, "%s\n\n%-7s %-16s %8s %11s %8s %8s %8s %8s %8s %8s\n", ink.bold(a.name+": amps"),
		"", "", "rated", "everything", "chord", "at most", "knobs", "margin", "settled", "cluster")
	for _, l := range a.Lines {
		most := "proven"
		if !l.Chord.Exact {
			most = amps(l.Chord.Bound)
		}
		fmt.Fprintf(b, "%-7s %-16s %8s %11s %8s %8s %8s %8s %8s %8s\n", l.Kind, l.ID, dash(l.Rated), amps(l.Everything),
			amps(l.Chord.Amps), most, dash(given(float64(l.Pulses))), dash(l.Margin), dash(l.Settled), amps(l.Cluster.Amps))
	}
	b.WriteString("\nmargin is rated, less at most (the chord, where that is proven) and knobs\n")
	b.WriteString("everything is all that can be on, chord what one player can hold, cluster twenty neighbouring keys, knobs what\n" +
		"coils that move take besides; settled is the chord with what wires lose. A wire without gauge or length loses nothing here\n")
	b.WriteString("\nworst chords, all with --draw " + shellQuote(strings.Join(a.Draw, ",")) + "\n")
	a.chordsText(b)
	if len(a.Lines) > 0 && len(a.Lines[0].Chord.Play) > 0 {
		fmt.Fprintf(b, "  see it: trundle sound %s --draw %s %s\n", shellQuote(a.organ), shellQuote(strings.Join(a.Draw, ",")), playWords(a.Lines[0].Chord.Play))
	}
	if d := a.Drop; d != nil {
		d.text(b, fmt.Sprintf("the least is left to %s, hot: %.2f V%s, with %s", d.Load, float64(d.Volts), d.needs(), playWords(d.Play)))
	}
	if d := a.Moving; d != nil {
		d.text(b, fmt.Sprintf("while knobs move, to %s, hot: %.2f V%s, with %s", d.Load, float64(d.Volts), d.needs(), playWords(d.Play)))
	}
	if l := a.Least; l != nil {
		fmt.Fprintf(b, "\nno chord leaves less than %.2f V to %s, which needs %.2f V hot; others have more to spare\n", float64(l.Volts), l.Load, float64(l.Needs))
	}
	for _, c := range a.Changes {
		fmt.Fprintf(b, "\nmoving %s of supply %s: %s A at once, %s A as they are grouped, %s A with the worst chord held, in %.0f ms\n",
			count(c.Coils, "knob"), c.Supply, amps(c.AtOnce), amps(c.Stepped), amps(c.Peak), float64(c.Millis))
	}
	if a.Asked != nil {
		fmt.Fprintf(b, "\nwith --draw %s %s\n", shellQuote(strings.Join(a.Asked.Draw, ",")), playWords(a.Asked.Play))
		for _, l := range a.Asked.Amps {
			if l.Amps == 0 {
				continue
			}
			fmt.Fprintf(b, "  %-7s %-16s %8s\n", l.Kind, l.ID, amps(l.Amps))
		}
	}
	if len(a.Findings) > 0 {
		b.WriteString("\n")
	}
	findingLines(b, a.Findings)
}

// chordsText lists the worst chords, each with the places that it loads most.
func (a *currentAnswer) chordsText(b *strings.Builder) {
	var chords []string
	of := map[string][]string{}
	for _, l := range a.Lines {
		chord := playWords(l.Chord.Play)
		if of[chord] == nil {
			chords = append(chords, chord)
		}
		of[chord] = append(of[chord], l.Kind+" "+l.ID)
	}
	for _, chord := range chords {
		fmt.Fprintf(b, "  %s: %s\n", strings.Join(of[chord], ", "), chord)
	}
}

// needs is what a coil needs, where its class says that.
func (d *currentDrop) needs() string {
	if d.Needs == nil {
		return ""
	}
	return fmt.Sprintf(" where it needs %.2f V hot", float64(*d.Needs))
}

func (d *currentDrop) text(b *strings.Builder, head string) {
	b.WriteString("\n" + head + "\n")
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
