package main

import (
	"bufio"
	"errors"
	"time"

	"github.com/spf13/cobra"

	"trundle/midiio"
)

func watchCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "watch --in PORT",
		Short: "Show what comes from a MIDI port, and what is wrong with it",
		Long: `Show every message with the time since the beginning and since the one before,
in seconds, and between them what is wrong:

  no-status, undefined, unfinished   bytes that are no message
  sysex-cut, sysex-stray-end         system exclusive without its end, or its beginning
  on-twice, off-without-on           notes that do not pair
  note-hangs                         a key on for longer than --hang, or at the end
  sensing-stopped                    silence after active sensing (not with --no-sensing)
  link-full                          over 80% of the link used in a second; its rate must be known (--baud)
  lost                               messages that came faster than they could be shown
  port-overrun                       messages that the system lost, because they came
                                     too fast: what was held is released
  port-gone                          the port went away: its keys are released, and it is
                                     looked for until port-back

Faults are found before anything is filtered. The exit code is 1 when there
were any.

With --on each message is also said in the words of the console, and what the
map of the instrument does not have is shown to be so. With --cover the messages
are not shown: work every key (a thumb up the keys will do), stop, piston, stage
and shoe, in any order, and each is ticked off. Keys and stops count once they
were on and off again, shoes once they came within 5% of both ends. When all is
done, or at the end, comes the sheet: what was not seen, what came twice, keys
that came out of order, contacts that bounce and for how long. The exit code is
0 when all was worked and nothing is wrong with it.`,
		Example: `  trundle watch --in serial:/dev/ttyUSB0
  trundle watch --in file:/dev/snd/midiC1D0 --baud 31250 --raw --without timing-clock
  trundle watch --in pty:organ --only note-on --only note-off --channel 1 --format json
  trundle watch --in serial:/dev/ttyUSB0 --on organ.yaml
  trundle watch --in serial:/dev/ttyUSB0 --cover organ.yaml`,
		Args: noArguments,
	}
	port := portFlag(cmd, "in", "listen to `PORT`")
	form := formFlag(cmd, "text", "json")
	limit := cmd.Flags().Duration("for", 0, "end after so long; 0: when the port ends")
	on := cmd.Flags().String("on", "", "say it in the words of `INSTRUMENT` as well, by the map in its file")
	cover := cmd.Flags().String("cover", "", "tick off what is worked of `INSTRUMENT`, and end with what was not")
	bounce := cmd.Flags().Duration("bounce", 25*time.Millisecond, "with --cover: movements of a contact so close are one")
	raw := cmd.Flags().Bool("raw", false, "show the bytes as well")
	hang := cmd.Flags().Duration("hang", time.Minute, "tell of a key that is on for so long; 0: of none until the end")
	noSensing := cmd.Flags().Bool("no-sensing", false, "expect nothing after active sensing")
	filter := filterFlags(cmd)
	cmd.RunE = func(cmd *cobra.Command, _ []string) error {
		keep, err := filter.parse()
		if err != nil {
			return err
		}
		w := &watcher{
			out: bufio.NewWriter(cmd.OutOrStdout()), ink: inkFor(cmd.OutOrStdout()), json: form.chosen == "json", raw: *raw, keep: keep,
			monitor: midiio.Monitor{IgnoreSensing: *noSensing, Hang: *hang},
		}
		if err := w.meet(cmd.ErrOrStderr(), *on, *cover, *bounce); err != nil {
			return err
		}
		h, err := hearFrom(port, *limit)
		if err != nil {
			return err
		}
		ended := h.each(func(taken midiio.Taken) error { return w.show(taken, h.clock(), h.in.Load(h.clock(), h.byteTime)) })
		if errors.Is(ended, errCovered) {
			ended = h.in.Close()
		}
		good, err := w.finish(h.clock())
		if err != nil {
			return err
		}
		if ended == nil && !good {
			return errBad
		}
		return ended
	}
	return cmd
}
