package main

import (
	"fmt"
	"strings"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// proofFindings is what a proof says as findings of the relay file.
func proofFindings(in *console.Instrument, relayPath string, p *proof.Result) []finding.Finding {
	f := finding.Finding{Severity: finding.Error, Place: finding.Place{File: relayPath}}
	switch p.Verdict {
	case proof.Different:
		f.Rule = "logic-differs"
		f.Message = fmt.Sprintf("%s in some state: %s", opens(len(p.Differing)), someOf(valveRuns(in, p.Differing)))
	case proof.NotDecided:
		f.Rule, f.Message = "proof-not-decided", "it is neither proven nor refuted that this relay plays the instrument: "+p.Reason
	default:
		return nil
	}
	return []finding.Finding{f}
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
