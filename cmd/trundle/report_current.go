package main

import (
	"fmt"
	"strings"

	"trundle/cmd/trundle/paper"
	"trundle/sim/circuit"
)

// currentSection is the load of a relay.
func currentSection(c *checked) (paper.Section, error) {
	r, found := circuit.Read(c.relay, c.in)
	if r == nil {
		return paper.Section{}, broken{found, checkCommandFor(c.path, c.relayPath)}
	}
	reporter := circuit.NewReporter(r, c.relay, c.in, circuit.OnePlayer)
	a := answerCurrent(r, c.in, reporter, reporter.Report())
	amps := func(v *rounded) string {
		if v == nil {
			return ""
		}
		return fmt.Sprintf("%.3f", float64(*v))
	}
	lines := paper.Table{Name: "currents", Caption: "Amps", Group: 1, Head: []string{"kind", "what", "rated", "everything on", "worst chord", "no chord exceeds", "knobs", "margin", "the chord"}}
	for _, l := range a.Lines {
		lines.Rows = append(lines.Rows, []string{l.Kind, l.ID, amps(l.Rated), amps(&l.Everything), amps(&l.Chord.Amps), amps(&l.Chord.Bound), amps(given(float64(l.Pulses))), amps(l.Margin), strings.Join(l.Chord.Play, " ")})
	}
	s := paper.Section{ID: "currents", Title: "Currents and voltages", Break: true, Parts: []paper.Part{tablePart(lines)},
		Text: []string{"With all stops and couplers drawn; a chord is what ten fingers and two feet can hold; knobs is what coils of knobs and sliders draw besides while they move. The margin is what is rated, less what no chord exceeds and knobs. " + titled(a.Caution) + "."}}
	if d := a.Drop; d != nil {
		t := paper.Table{Name: "drop", Caption: "The worst way, from the supply and back", Head: []string{"where", "volts"}}
		for _, h := range d.Hops {
			t.Rows = append(t.Rows, []string{h.Where, fmt.Sprintf("%.3f", float64(h.Volts))})
		}
		s.Parts = append(s.Parts, paper.Part{Drawing: dropDrawing(d)}, tablePart(t))
	}
	return s, nil
}

// dropDrawing is where the volts go on the way to the coil that gets the least,
// a bar for each place that the current passes.
func dropDrawing(d *currentDrop) *paper.Drawing {
	const left, width, row = 200.0, 360.0, 20.0
	var pen paper.Pen
	all := 0.0
	for _, h := range d.Hops {
		all += float64(h.Volts)
	}
	y, x := 6.0, left
	for _, h := range d.Hops {
		class := "grey"
		if h.Volts == d.Volts {
			class = "full"
		}
		long := width * float64(h.Volts) / max(all, 0.001)
		pen.Small(left-8, y+13, "end", shortened(h.Where, 32))
		pen.Box(class, x, y+2, long, row-6)
		pen.Small(x+long+6, y+13, "start", fmt.Sprintf("%.2f V", float64(h.Volts)))
		x, y = x+long, y+row
	}
	text := fmt.Sprintf("Of %.2f V, %.2f V are left for %s, in the chord %s; black is what its coil gets, grey what is lost on the way.", all, float64(d.Volts), d.Load, strings.Join(d.Play, " "))
	if d.Needs != nil {
		text += fmt.Sprintf(" It needs %.2f V.", float64(*d.Needs))
	}
	return pen.Drawn("Where the volts go", text, int(left+width+70), int(y+6))
}
