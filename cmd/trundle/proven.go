package main

import (
	"fmt"
	"strings"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/proof"
)

// proofFindings is what a proof says as findings of the relay file.
func proofFindings(in *console.Instrument, relayPath string, p *proof.Result) []finding.Finding {
	f := finding.Finding{Severity: finding.Error, Place: finding.Place{File: relayPath}}
	switch p.Verdict {
	case proof.Different:
		f.Rule = "logic-differs"
		f.Message = fmt.Sprintf("%s in some state: %s", opens(len(p.Differing)), someOf(valveNames(in, p.Differing)))
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

// someOf is a few names of a list, and how many more there are.
func someOf(names []string) string {
	const few = 8
	if len(names) <= few {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:few], ", "), len(names)-few)
}
