package main

import (
	"cmp"
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"trundle/sim/bench"
)

func benchCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "bench SCRIPT --out PORT --in PORT",
		Short: "Test hardware at a MIDI port: by a script, a whole relay in few chords, or its times",
		Long: `Do the steps of a script at the console's end of a MIDI cable: work keys, stops
and pistons by the map of --on, or send messages, and check what comes back and
when. However it ends, what was on is released. The exit code is 1 when a step
failed. --transcript keeps what was sent, in a form that play takes, with what
came beside it. --to adds what came of the test to a record of the day (trundle
day), as a walk does.

With --whole a whole relay is tried that reports its valves: bench --whole
INSTRUMENT --relay RELAY. Keys are pressed in chords that are coded so that the
answers tell every key from every other, which takes far fewer presses than one
key at a time; registrations cover every stop, coupler and unison off; every chord
stays under what the supplies in RELAY can give. What is planned is shown first,
and it must be typed that the blower is off. From the answers come the mistakes,
by class and place, that account for all of them: one, or up to eight together. A
chord that is answered now so, now otherwise is listed, and nothing concluded from
it. --as-found writes the wiring with those that were found, where they account for
all, for the list wired of the relay: that of the wiring where one of the table
would do as well. It is a new table, into which the comments
of the old one are not taken. It is held to what the relay's files say;
whether they suit the instrument, check says.

With --time it is measured how fast and how surely the relay answers: bench --time
INSTRUMENT. One stop is drawn, and its keys are worked: alone, for the round trip
from when a message has left until its answer came; one of them 8, 10 and 12 times
a second, as a magnet has to follow; and as fast as the link takes. What is lost or
comes twice is counted. Then keys, stops and couplers are worked by chance for
--for, and all is let go: nothing may stay open. For this too it must be typed that
the blower is off.

The blower is never started from here. Where it runs, pipes sound: loud enough to
hurt beside them. Shades and sliders move, and close on fingers: see that nobody
is in a chamber before a script starts.

` + bench.Reference,
		Example: `  trundle bench keys.bench --on organ.yaml --out serial:/dev/ttyUSB0 --in serial:/dev/ttyUSB0
  trundle bench --whole organ.yaml --relay relay.yaml --out midi:relay --in midi:relay --to day.jsonl --who Ann
  trundle bench --whole organ.yaml --relay relay.yaml --loop X6:K1 --out midi:relay --in midi:relay
  trundle bench --time organ.yaml --out serial:/dev/ttyUSB0 --in serial:/dev/ttyUSB0
  trundle bench keys.bench --on organ.yaml --out network:192.0.2.7:5004 --in network:192.0.2.7:5004 --format junit
  trundle bench keys.bench --out midi:relay --in midi:relay --transcript today.txt`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return complaint{fmt.Sprintf("bench takes one script, not %d", len(args)), "name one, like keys.bench; for bench --whole an instrument, like organ.yaml"}
			}
			return nil
		},
	}
	ports := addCableFlags(cmd, "hear what answers at `PORT`", "send to `PORT`")
	form := formFlag(cmd, "text", "json", "junit")
	on := cmd.Flags().String("on", "", "work `INSTRUMENT`, by the map in its file")
	keep := addKeeping(cmd)
	whole := cmd.Flags().Bool("whole", false, "try a whole relay in few chords")
	flags := wholeFlags{
		relay:   cmd.Flags().String("relay", "", "with --whole: relay design `FILE`"),
		asFound: cmd.Flags().String("as-found", "", "with --whole: write the wiring as it was found to `FILE`"),
		loop:    cmd.Flags().StringArray("loop", nil, "with --whole: a plug leads outputs to key inputs, like `X6:K3`; may be given several times"),
		settle:  cmd.Flags().Duration("settle", 0, "with --whole: a chord is answered when nothing came for `TIME`; without it for as long as this relay needs, at most 50ms"),
		yes:     cmd.Flags().Bool("yes", false, "with --whole and --time: do not ask whether the blower is off"),
	}
	timed := cmd.Flags().Bool("time", false, "measure how fast and how surely a relay answers")
	load := bench.Load{Repeat: 3 * time.Second, Full: 3 * time.Second}
	cmd.Flags().DurationVar(&load.Soak, "for", 10*time.Second, "with --time: how long all is worked by chance")
	cmd.Flags().IntVar(&load.Trips, "trips", 100, "with --time: how many keys are pressed alone")
	cmd.Flags().Uint64Var(&load.Seed, "seed", 1, "with --time: of the chance")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		switch {
		case *whole && *timed:
			return complaint{"--whole and --time are two tests", "give one of them"}
		case !*whole && len(*flags.loop) > 0:
			return complaint{"--loop is for a test of a whole relay", "give --whole"}
		case (*whole || *timed) && form.chosen == "junit":
			return complaint{"only scripts have the form junit", "take text or json"}
		}
		if err := keep.ready(); err != nil {
			return err
		}
		switch {
		case *whole:
			return benchWhole(cmd, args[0], flags, ports, form.chosen, *keep)
		case *timed:
			return benchTime(cmd, args[0], load, *flags.yes, ports, form.chosen, *keep)
		}
		s, err := loadScript(cmd.ErrOrStderr(), args[0], *on)
		if err != nil {
			return err
		}
		kept, err := newTranscript(keep.transcript, s.m)
		if err != nil {
			return err
		}
		a, err := s.run(cmd, ports, kept)
		if err := errors.Join(err, kept.close()); err != nil {
			return err
		}
		return cmp.Or(
			keep.day(ports, func() (dayTest, map[string]string) { return a.inDay(), filesRead(args[0], *on, nil) }),
			a.show(cmd, form.chosen))
	}
	return cmd
}
