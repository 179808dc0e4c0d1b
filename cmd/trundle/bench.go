package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"trundle/sim/bench"
)

func benchCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "bench SCRIPT --out PORT --in PORT",
		Short: "Test hardware at a MIDI port by a script of stimuli and expectations",
		Long: `Do the steps of a script at the console's end of a MIDI cable: work keys, stops
and pistons by the map of --on, or send messages, and check what comes back and
when. However it ends, what was on is released. The exit code is 1 when a step
failed. --transcript keeps what was sent, in a form that play takes, with what
came beside it.

The blower is never started from here. Where it runs, pipes sound: loud enough to
hurt beside them. Shades and sliders move, and close on fingers: see that nobody
is in a chamber before a script starts.

` + bench.Reference,
		Example: `  trundle bench keys.bench --on organ.yaml --out serial:/dev/ttyUSB0 --in serial:/dev/ttyUSB0
  trundle bench keys.bench --on organ.yaml --out network:192.0.2.7:5004 --in network:192.0.2.7:5004 --format junit
  trundle bench keys.bench --out midi:relay --in midi:relay --transcript today.txt`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return complaint{fmt.Sprintf("bench takes one script, not %d", len(args)), "name one, like keys.bench"}
			}
			return nil
		},
	}
	ports := addCableFlags(cmd, "hear what answers at `PORT`", "send to `PORT`")
	form := formFlag(cmd, "text", "json", "junit")
	on := cmd.Flags().String("on", "", "work `INSTRUMENT`, by the map in its file")
	transcript := cmd.Flags().String("transcript", "", "keep all that goes over the cable in `FILE`")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		s, err := loadScript(args[0], *on)
		if err != nil {
			return err
		}
		kept, err := newTranscript(*transcript, s.m)
		if err != nil {
			return err
		}
		a, err := s.run(cmd, ports, kept)
		if err := errors.Join(err, kept.close()); err != nil {
			return err
		}
		return a.show(cmd, form.chosen)
	}
	return cmd
}
