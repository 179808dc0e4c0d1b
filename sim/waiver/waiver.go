// Package waiver sets findings aside that somebody has accepted and said why,
// and finds what is wrong with the waivers themselves.
package waiver

import (
	"fmt"

	"trundle/console/finding"
	"trundle/sim/rule"
	"trundle/sim/wiring"
)

// Waived is a finding set aside.
type Waived struct {
	finding.Finding
	Reason string
	By     finding.Place // of the waiver
}

// Apply sets aside the findings that waivers fit; what is left has findings on
// the waivers too: one without a reason, one that asks for what cannot be
// waived, one that fits nothing. All findings stay in their order.
func Apply(found []finding.Finding, waivers []wiring.Waiver) (left []finding.Finding, waived []Waived) {
	used := make([]bool, len(waivers))
	var about []finding.Finding
	for i, w := range waivers {
		page, family, known := rule.Find(w.Rule)
		switch {
		case known && !family.Waivable:
			used[i] = true
			about = append(about, fault("waiver-refused", finding.Error, w, "mend what it is about, and take the waiver out",
				"%s cannot be waived: %s", page.ID, refusal(family)))
		case w.Reason == "":
			used[i] = true
			about = append(about, fault("waiver-without-reason", finding.Error, w, "add reason: and say why", "this waiver of %s has no reason", w.Rule))
		}
	}
	refused := append([]bool(nil), used...)
	for _, f := range found {
		by := -1
		for i, w := range waivers {
			if !refused[i] && w.Fits(f) {
				used[i] = true
				if by < 0 {
					by = i
				}
			}
		}
		if by < 0 {
			left = append(left, f)
		} else {
			waived = append(waived, Waived{f, waivers[by].Reason, waivers[by].Place})
		}
	}
	for i, w := range waivers {
		if used[i] {
			continue
		}
		fix := "take it out, or correct its place"
		if _, _, known := rule.Find(w.Rule); !known {
			if fix = finding.DidYouMean(w.Rule, rule.IDs()); fix == "" {
				fix = "trundle explain lists the rules"
			}
		}
		about = append(about, fault("waiver-unused", finding.Warning, w, fix, "no finding %s at %s", w.Rule, w.At))
	}
	return append(left, about...), waived
}

// refusal says why findings of a family stand.
func refusal(f rule.Family) string {
	switch f.Name {
	case "files":
		return "a file without meaning says nothing that could be proven"
	case "waivers":
		return "it is about a waiver"
	}
	return "a relay that plays wrong notes is not made right by a waiver"
}

func fault(id string, s finding.Severity, w wiring.Waiver, fix, format string, args ...any) finding.Finding {
	return finding.Finding{Rule: id, Severity: s, Place: w.Place, Message: fmt.Sprintf(format, args...), Fix: fix}
}
