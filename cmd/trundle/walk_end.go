package main

import (
	"fmt"
	"io"
	"strings"

	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/walk"
)

// fallsSilent hears what comes after all was taken back, and reports whether the
// relay has said that nothing is open any more.
func (k *walker) fallsSilent(t midiio.Timed) bool {
	_ = k.hear(t, 0) // the walk has ended: it answers nothing
	return len(k.open) == 0
}

// silence is what the relay has said of valves that are open at the end, "" where it
// says nothing of any.
func (k *walker) silence() string {
	if k.reports == 0 {
		return ""
	}
	if len(k.open) == 0 {
		return "the relay says that no valve is open"
	}
	var names []string
	for valve := range k.in.Valves {
		if k.open[valve] {
			names = append(names, mapping.Thing{Kind: mapping.Valve, Index: valve}.Name(k.in))
		}
	}
	return "STILL OPEN, as the relay says: " + strings.Join(names, ", ")
}

// walkEnd says how far a walk came and what is open, by board, pin and leg: what is not
// good, then what was accepted, then what was skipped.
func walkEnd(w io.Writer, k *walker) error {
	var b strings.Builder
	done := k.w.Done()
	fmt.Fprintf(&b, "\n%s\n", k.ink.bold(fmt.Sprintf("%d of %s answered, %v", done.Answered(), count(len(k.w.Steps), "step"), done)))
	faults := k.w.Faults(k.relay, k.in)
	for _, only := range []walk.Verdict{"", walk.Accept, walk.Skipped} {
		board := "-"
		for _, f := range faults {
			of := f.Answer.Verdict
			if of != walk.Accept && of != walk.Skipped {
				of = ""
			}
			if of != only {
				continue
			}
			if board == "-" && only != "" {
				fmt.Fprintf(&b, "\n%s\n", k.ink.bold(string(only)))
			}
			if f.Board != board {
				board = f.Board
				name := "board " + board
				if board == "" {
					name = "on no pin"
				}
				fmt.Fprintf(&b, "%s\n", name)
			}
			fmt.Fprintf(&b, "  %s\n      %s\n", f.Step.ID, k.ink.red(foundAt(f.Step, f.Answer)))
			for _, leg := range f.Legs {
				fmt.Fprintf(&b, "      %s\n", leg)
			}
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}
