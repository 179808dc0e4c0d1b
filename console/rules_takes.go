package console

import (
	"fmt"

	"trundle/console/finding"
)

// stopOutOfRank finds takes that want notes which their rank does not have
// and which they do not fold: some of them (a note), or all (a warning).
func stopOutOfRank(in *Instrument) []finding.Finding {
	var findings []finding.Finding
	for _, s := range in.Stops {
		for _, t := range s.Takes {
			line := in.Divisions[s.Division].Notes.Cut(s.Notes).Cut(t.Notes)
			var silent []Note
			for n := line.From; n <= line.To; n++ {
				if in.Wants(t, n) == None {
					silent = append(silent, n)
				}
			}
			if len(silent) == 0 {
				continue
			}
			r := in.Ranks[t.Rank]
			f := finding.Finding{
				Severity: finding.Note,
				Place:    t.At,
				Message:  fmt.Sprintf("stop %s is silent for %s: rank %s has %s", s.ID, spans(silent), r.ID, in.playedBy(t)),
				Fix:      "nothing, if so meant; else fold it, narrow its notes, or lengthen the rank",
			}
			if len(silent) == line.Len() {
				f.Severity = finding.Warning
				f.Message = fmt.Sprintf("stop %s takes nothing of rank %s, which plays %s", s.ID, r.ID, in.playedBy(t))
				f.Fix = "check feet, from and notes"
			}
			f.Related = []finding.Related{{Place: r.At, Message: fmt.Sprintf("%d valves from %s", r.Pipes, r.From)}}
			findings = append(findings, f)
		}
	}
	return findings
}

// playedBy is the line notes that reach the rank of a take without folding.
func (in *Instrument) playedBy(t Take) string {
	r := in.Ranks[t.Rank]
	lowest := r.From - Note(t.Shift)
	return Span{lowest, lowest + Note(r.Pipes-1)}.String()
}

// spans writes ascending notes as ranges.
func spans(notes []Note) string {
	text := ""
	for i := 0; i < len(notes); {
		j := i
		for j+1 < len(notes) && notes[j+1] == notes[j]+1 {
			j++
		}
		if text != "" {
			text += " "
		}
		if i == j {
			text += notes[i].String()
		} else {
			text += Span{notes[i], notes[j]}.String()
		}
		i = j + 1
	}
	return text
}

// breakOutside finds breaks of a compound rank beyond its keys, and keys
// below its first break, which have no rows.
func breakOutside(in *Instrument) []finding.Finding {
	var findings []finding.Finding
	for _, r := range in.Ranks {
		top := r.Note(r.Pipes)
		for i, b := range r.Breaks {
			f := finding.Finding{Severity: finding.Warning, Place: b.At}
			switch {
			case b.From > top:
				f.Message = fmt.Sprintf("rank %s breaks at %s, above its highest key %s", r.ID, b.From, top)
				f.Fix = "take the break away, or check pipes and from"
			case i == 0 && b.From > r.From:
				f.Message = fmt.Sprintf("rank %s has no rows from %s up to its first break at %s", r.ID, r.From, b.From)
				f.Fix = "add rows from " + r.From.String()
			case i+1 < len(r.Breaks) && r.Breaks[i+1].From <= r.From:
				f.Message = fmt.Sprintf("the rows from %s of rank %s end below its lowest key %s", b.From, r.ID, r.From)
				f.Fix = "take the break away, or check from"
			default:
				continue
			}
			findings = append(findings, f)
		}
	}
	return findings
}
