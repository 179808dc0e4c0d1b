package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/cause"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// proofFindings is what a proof says as findings: each cause at the row to
// mend, and what no cause accounts for at the relay file.
func proofFindings(in *console.Instrument, relayPath string, p *proof.Result, found cause.Found) []finding.Finding {
	var list []finding.Finding
	for _, c := range found.Causes {
		f := finding.Finding{Rule: c.Rule, Severity: finding.Error, Place: c.At, Fix: c.Fix, Message: c.Message}
		for i, or := range c.Or {
			if i == 0 {
				f.Message = fmt.Sprintf("either %s, or %s", f.Message, or.Message)
				f.Fix = fmt.Sprintf("either %s, or %s", inFile(f.Fix, f.File), inFile(or.Fix, or.At.File))
			}
			which := "nothing tells which"
			if or.Less {
				which = "less likely, as more is to be written"
			}
			f.Related = append(f.Related, finding.Related{Place: or.At, Message: "or here, " + which + ": " + or.Fix})
		}
		if more := len(c.Or) - 1; more > 0 {
			f.Message += ", or " + count(more, "more reading")
		}
		f.Message += fmt.Sprintf("; %s: %s", opens(len(c.Valves)), someOf(valveRuns(in, c.Valves)))
		list = append(list, f)
	}
	at := finding.Place{File: relayPath}
	switch {
	case p.Verdict == proof.NotDecided:
		list = append(list, finding.Finding{Rule: "proof-not-decided", Severity: finding.Error, Place: at,
			Message: "it is neither proven nor refuted that this relay plays the instrument: " + p.Reason})
	case len(found.Unexplained) > 0:
		list = append(list, finding.Finding{Rule: "logic-differs", Severity: finding.Error, Place: at,
			Message: fmt.Sprintf("%s in some state, and no single mistake accounts for it: %s", opens(len(found.Unexplained)), someOf(valveRuns(in, found.Unexplained)))})
	}
	return list
}

// inFile is what to do, and in which file.
func inFile(fix, file string) string {
	if strings.HasPrefix(fix, "add to ") {
		return fix
	}
	return "in " + filepath.Base(file) + " " + fix
}

func opens(valves int) string {
	if valves == 1 {
		return "1 valve opens otherwise than it should"
	}
	return fmt.Sprintf("%d valves open otherwise than they should", valves)
}

// valveRuns is valves by rank, with runs of numbers: bourdon:26..27.
func valveRuns(in *console.Instrument, valves []int) []string {
	var runs []string
	for _, rank := range in.Ranks {
		var numbers []int
		for _, v := range valves {
			if v >= rank.First && v < rank.First+rank.Pipes {
				numbers = append(numbers, v-rank.First+1)
			}
		}
		if len(numbers) > 0 {
			runs = append(runs, rank.ID+":"+wiring.FormatNumbers(numbers))
		}
	}
	return runs
}

// someOf is a few names of a list, and how many more there are.
func someOf(names []string) string {
	const few = 8
	if len(names) <= few {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:few], ", "), len(names)-few)
}
