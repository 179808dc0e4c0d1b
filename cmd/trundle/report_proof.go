package main

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"trundle/cmd/trundle/paper"
	"trundle/console/finding"
	"trundle/sim/proof"
)

// proofSection is what was proven, or what is wrong by its causes.
func proofSection(c *checked) paper.Section {
	a := c.answer()
	p := a.Proof
	s := paper.Section{ID: "proof", Title: "The proof", Verdict: titled(decision(a.Counts, p)) + "."}
	if len(p.Boards) > 0 {
		s.Text = append(s.Text, leftOutText(p))
	}
	s.Text = append(s.Text, provenText(c)...)
	if ce := p.Counterexample; ce != nil {
		s.Text = append(s.Text, fmt.Sprintf("The smallest case: %s, %s. %s", heldInWords(ce.Play), drawnInWords(ce.Draw), missingAndExtra(ce)))
	}
	var outside []string
	for _, kind := range slices.Sorted(maps.Keys(p.Outside)) {
		outside = append(outside, fmt.Sprintf("%d %s", p.Outside[kind], kind))
	}
	text := "The crescendo, the tutti, shoes, lamps, the coils of knobs, shades, wind and time are outside the proof."
	if len(outside) > 0 {
		text += " So are pins of these kinds: " + strings.Join(outside, ", ") + "."
	}
	s.Text = append(s.Text, text)
	found := paper.Table{Name: "findings", Caption: "Findings", Group: 1, Head: []string{"severity", "rule", "where", "what is wrong", "what to do"}}
	worst := []finding.Severity{finding.Error, finding.Warning, finding.Note}
	slices.SortStableFunc(a.Findings, func(x, y foundAnswer) int {
		return cmp.Compare(slices.Index(worst, x.Severity), slices.Index(worst, y.Severity))
	})
	for _, f := range a.Findings {
		found.Rows = append(found.Rows, []string{string(f.Severity), f.Rule, finding.Place(f.placeAnswer).String(), f.Message, f.Fix})
	}
	waived := paper.Table{Name: "waived", Caption: "Accepted, with a reason", Head: []string{"rule", "where", "what is wrong", "reason"}}
	for _, w := range a.Waived {
		waived.Rows = append(waived.Rows, []string{w.Rule, finding.Place(w.placeAnswer).String(), w.Message, w.Reason})
	}
	if len(found.Rows) == 0 {
		s.Text = append(s.Text, "Nothing was found wrong.")
	}
	for _, t := range []paper.Table{found, waived} {
		if len(t.Rows) > 0 {
			s.Parts = append(s.Parts, tablePart(t))
		}
	}
	return s
}

// leftOutText says what is not in these papers because it hangs on other boards.
func leftOutText(p *proofAnswer) string {
	text := fmt.Sprintf("These papers are of what hangs on %s only. Left out are %s, of which nothing hangs there,", strings.Join(p.Boards, ", "), count(p.LeftOut, "valve"))
	if p.Unshown > 0 {
		text += " " + count(p.Unshown, "finding") + " on other boards,"
	}
	return text + " the wiring of other boards, and all currents."
}

// provenText says which valves are proven, which differ, and of which neither is known.
func provenText(c *checked) (text []string) {
	p, controls := c.proof, len(c.in.Controls)
	states := fmt.Sprintf("%s and %s, 2 to the power of %d states, none left out", count(p.Variables-controls, "key contact"), count(controls, "control"), p.Variables)
	const every = "for every set of keys that can be held and every set of stops, couplers and unison offs that can be on"
	named := func(valves []int) string { return someOf(valveRuns(c.in, valves)) }
	switch p.Verdict {
	case proof.Equal:
		return []string{fmt.Sprintf("This relay, wired as its schedule says, plays this instrument: all %s open exactly when they should, %s: %s.", count(p.Outputs, "valve"), every, states)}
	case proof.Different:
		text = append(text, fmt.Sprintf("This relay does not play this instrument: %d of %s open otherwise than they should in some state: %s.", len(p.Differing), count(p.Outputs, "valve"), named(p.Differing)))
	default:
		text = append(text, "It is neither proven nor refuted that this relay plays this instrument: "+p.Reason+".")
	}
	others := p.Outputs - len(p.Differing) - len(p.Undecided)
	if p.Verdict != proof.Different && (len(p.Undecided) == 0 || len(p.Differing) > 0) {
		others = 0 // nothing was compared, or what was is not believed
	} else if len(p.Undecided) > 0 {
		text = append(text, fmt.Sprintf("Not decided are %s: %s. Whether they open when they should is not known.", count(len(p.Undecided), "valve"), named(p.Undecided)))
	}
	if others == 0 {
		return append(text, "No valve is proven to open when it should.")
	}
	return append(text, fmt.Sprintf("Proven are the other %s: each opens exactly when it should, %s: %s.", count(others, "valve"), every, states))
}

func missingAndExtra(c *counterexample) string {
	var parts []string
	if len(c.Missing) > 0 {
		parts = append(parts, "Should open and does not: "+someOf(c.Missing)+".")
	}
	if len(c.Extra) > 0 {
		parts = append(parts, "Opens and should not: "+someOf(c.Extra)+".")
	}
	return strings.Join(parts, " ")
}
