package console

import (
	"fmt"
	"slices"

	"trundle/console/finding"
)

// pistonOutOfScope finds divisionals that list controls which are none of
// their division's, and buttons that leave alone what they would never move.
func pistonOutOfScope(in *Instrument) []finding.Finding {
	if in.Combination == nil {
		return nil
	}
	var findings []finding.Finding
	warn := func(b Button, fix, format string, args ...any) {
		findings = append(findings, finding.Finding{
			Severity: finding.Warning, Place: b.At, Message: fmt.Sprintf(format, args...), Fix: fix,
		})
	}
	for _, b := range in.Combination.Buttons {
		if b.Repeats != None || b.Kind != General && b.Kind != Divisional {
			continue
		}
		for _, c := range b.List {
			if !in.divisionOwns(b.Division, c) && !in.playedFrom(in.Divisions[b.Division].Keyboard, c) {
				warn(b, "take it out of its scope, or make the button a general",
					"button %s takes %s, which is no control of division %s", b.ID, in.Controls[c].ID, in.Divisions[b.Division].ID)
			}
		}
		takes := in.Takes(b)
		for _, c := range b.Sets {
			if !slices.Contains(takes, c) {
				warn(b, "take it out of `sets`", "button %s sets %s, which it does not take", b.ID, in.Controls[c].ID)
			}
		}
		all := b
		all.Leaves = nil
		moves := in.Takes(all)
		for _, c := range b.Leaves {
			if !slices.Contains(moves, c) {
				warn(b, "take it out of `leaves`", "button %s leaves %s alone, which it would not move anyway", b.ID, in.Controls[c].ID)
			}
		}
		if len(takes) == 0 {
			warn(b, "check division, scope and leaves", "button %s moves nothing", b.ID)
		}
	}
	return findings
}

// stageAdds finds crescendo stages that add what no crescendo should: a
// celeste, a tremulant or a unison off (common practice).
func stageAdds(in *Instrument) []finding.Finding {
	var findings []finding.Finding
	for _, sequence := range in.Crescendo {
		for i, stage := range sequence.Stages {
			for _, c := range stage.Adds {
				what := ""
				switch control := in.Controls[c]; {
				case control.Kind == TremulantControl:
					what = "a tremulant"
				case control.Kind == UnisonOffControl:
					what = "a unison off"
				case control.Kind == StopControl && in.isCeleste(control.Index):
					what = "a celeste"
				default:
					continue
				}
				findings = append(findings, finding.Finding{
					Severity: finding.Warning, Place: stage.At,
					Message: fmt.Sprintf("stage %d of the crescendo adds %s, %s", i+1, in.Controls[c].ID, what),
					Fix:     "take it out of the stage",
				})
			}
		}
	}
	return findings
}

// isCeleste reports whether a stop takes only ranks that are tuned off.
func (in *Instrument) isCeleste(stop int) bool {
	takes := in.Stops[stop].Takes
	return len(takes) > 0 && !slices.ContainsFunc(takes, func(t Take) bool { return in.Ranks[t.Rank].Cents == 0 })
}
