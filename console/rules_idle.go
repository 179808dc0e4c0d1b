package console

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console/finding"
)

// soundsTwice finds stops, couplers and unison offs that do what one before them
// does: with one of them on, the other changes nothing.
func soundsTwice(in *Instrument) []finding.Finding {
	type control struct {
		id string
		at finding.Place
	}
	var findings []finding.Finding
	first := map[string]control{} // by what it does
	see := func(kind, id string, at finding.Place, slip string, does ...any) {
		key := kind + fmt.Sprint(does...)
		before, again := first[key]
		if !again {
			first[key] = control{id, at}
			return
		}
		findings = append(findings, finding.Finding{
			Severity: finding.Note, Place: at,
			Message: fmt.Sprintf("%s %s does just what %s does", kind, id, before.id),
			Fix:     "nothing, if so meant; else look for a slip in one of the two: " + slip,
			Related: []finding.Related{{Place: before.at, Message: before.id}},
		})
	}
	for _, s := range in.Stops {
		var takes []string
		for _, t := range s.Takes {
			takes = append(takes, fmt.Sprint(t.Rank, t.Shift, s.Notes.Cut(t.Notes), t.Above, t.Below))
		}
		slices.Sort(takes)
		see("stop", s.ID, s.At, "its footage or rank", s.Division, s.Touch, takes)
	}
	for _, c := range in.Couplers {
		see("coupler", c.ID, c.At, "the sign of a shift", c.Division, c.Keyboard, c.Shift, c.Carries, c.Picks, c.Keys, c.Touch, c.Pulse)
	}
	for _, u := range in.UnisonOffs {
		see("unison off", u.ID, u.At, "its division", u.Division, u.Cuts)
	}
	return findings
}

// neverUsed finds ranks that no stop takes, once there are stops, and boxes that
// no shoe moves.
func neverUsed(in *Instrument) []finding.Finding {
	var findings []finding.Finding
	note := func(at finding.Place, fix, format string, args ...any) {
		findings = append(findings, finding.Finding{Severity: finding.Note, Place: at, Message: fmt.Sprintf(format, args...), Fix: fix})
	}
	for r, rank := range in.Ranks {
		if len(in.Stops) > 0 && !slices.ContainsFunc(in.Stops, func(s Stop) bool {
			return slices.ContainsFunc(s.Takes, func(t Take) bool { return t.Rank == r })
		}) {
			note(rank.At, "add a stop that takes it, or take the rank out", "no stop takes rank %s, so it never sounds", rank.ID)
		}
	}
	for b, box := range in.Boxes {
		if !slices.ContainsFunc(in.Shoes, func(s Shoe) bool { return slices.Contains(s.Boxes, b) }) {
			note(box.At, fmt.Sprintf("let a shoe drive it: drives: [%s]", box.ID), "no shoe drives box %s, so its shades never move", box.ID)
		}
	}
	return findings
}

// stageRepeats finds stages of a crescendo that add what stages before them have
// put on: one finding a sequence, at the first of them.
func stageRepeats(in *Instrument) []finding.Finding {
	var findings []finding.Finding
	for _, sequence := range in.Crescendo {
		var f *finding.Finding
		since := map[int]int{} // stage that put a control on
		for i, stage := range sequence.Stages {
			var again []string
			for _, c := range stage.Adds {
				if at, on := since[c]; on {
					again = append(again, fmt.Sprintf("%s, which is on since stage %d", in.Controls[c].ID, at))
				} else {
					since[c] = i + 1
				}
			}
			for _, c := range stage.Drops {
				delete(since, c)
			}
			switch told := fmt.Sprintf("stage %d of the crescendo adds %s", i+1, strings.Join(again, ", and ")); {
			case again == nil:
			case f == nil:
				f = &finding.Finding{Severity: finding.Note, Place: stage.At, Message: told, Fix: "nothing, if so meant; else name what this stage was to add"}
			default:
				f.Related = append(f.Related, finding.Related{Place: stage.At, Message: told})
			}
		}
		if f != nil {
			findings = append(findings, *f)
		}
	}
	return findings
}
