package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"trundle/console"
	"trundle/midiio/mapping"
	"trundle/sim/bench"
	"trundle/sim/wiring"
)

// standInForJambs runs the knobs of a console until it is interrupted. Lines move them
// by hand.
func standInForJambs(cmd *cobra.Command, ports cableFlags, in *console.Instrument, m *mapping.Map, relay *wiring.Relay, made []string, timing bench.Timing) error {
	c, err := ports.open(nil, false)
	if err != nil {
		return err
	}
	stdout := cmd.OutOrStdout()
	ports.tellStandIn(stdout, "the knobs", in)
	fmt.Fprintln(stdout, "  all are in; write draw or push to move them by hand, or draw ID for one")
	tellMistakes(stdout, in, made, timing)
	j := bench.NewJambs(in, m, relay, timing)
	c.lines, c.wrote = wholeLines(cmd.InOrStdin()), func(line string) {
		words := strings.Fields(line)
		if len(words) == 0 {
			return
		}
		if words[0] != "draw" && words[0] != "push" {
			fmt.Fprintln(stdout, "  write draw or push, with ids of knobs or for all; Ctrl-C ends it")
			return
		}
		var knobs []int
		for _, id := range words[1:] {
			knob, err := findControl(in, id)
			if err != nil {
				fmt.Fprintf(stdout, "  %s\n", strings.TrimPrefix(err.Error(), "--draw: "))
				return
			}
			knobs = append(knobs, knob)
		}
		out := words[0] == "draw"
		j.Hand(out, c.clock(), knobs...)
		fmt.Fprintf(stdout, "  %s by hand\n", map[bool]string{true: "drawn", false: "pushed in"}[out])
	}
	return ports.standIn(c, j)
}
