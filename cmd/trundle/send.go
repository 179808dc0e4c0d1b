package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"trundle/midiio"
)

func sendCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "send --out PORT MESSAGE...",
		Short: "Send MIDI messages to a port",
		Long: `Send messages, each one argument in the form that watch prints:

  "note-on 1 60/C4 100"       channel 1 to 16, key by number or name, velocity
  "control-change 1 7 127"    "program-change 1 0"    "pitch-bend 1 8192"
  "sysex 7E 7F 06 01"         the bytes between F0 and F7
  "timing-clock"              and other names without a number

What a faulty sender does can be sent too: "unfinished 90 3C", "no-status 3C",
"undefined F4", "sysex-cut 7E". Keys that the messages leave on are held for
--hold, then released; so they are after Ctrl-C. Where notes stand for controls,
--on leaves them as they were sent. With --baud all is paced as by a link of that
rate, system exclusive too, for hardware that takes no more.`,
		Example: `  trundle send --out serial:/dev/ttyUSB0 "note-on 1 60/C4 100" --hold 2s
  trundle send --out file:/dev/snd/midiC1D0 "sysex 7E 7F 06 01"
  trundle send --out pty:organ "control-change 1 7 0" "program-change 1 3"
  trundle send --out serial:/dev/ttyUSB0 --on organ.yaml "note-on 16 0 127"`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return complaint{"send needs a message", `write one like "note-on 1 60/C4 100"`}
			}
			return nil
		},
	}
	port := portFlag(cmd, "out", "send to `PORT`")
	on := cmd.Flags().String("on", "", "release only what is a key in the map of `INSTRUMENT`: other notes stand for controls")
	hold := cmd.Flags().Duration("hold", time.Second, "hold keys that are left on for so long")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		messages, err := parseMessages(args)
		if err != nil {
			return err
		}
		ctx, stop := untilInterrupted()
		defer stop()
		isKey, err := keysOf(*on)
		if err != nil {
			return err
		}
		out, err := port.talk(cmd.ErrOrStderr(), midiio.NewClock())
		if err != nil {
			return err
		}
		out.KeysAre(isKey)
		return errors.Join(send(ctx, out, messages, *hold), out.Close())
	}
	return cmd
}

func parseMessages(args []string) ([]midiio.Message, error) {
	var messages []midiio.Message
	var wrong []error
	if one := strings.Join(args, " "); len(args) > 1 && !strings.Contains(args[0], " ") {
		switch _, err := midiio.ParseMessage(one); {
		case err == nil:
			return nil, complaint{"a message is one argument", "put its words in quotes: " + shellQuote(one)}
		case !slices.ContainsFunc(args, isMessage):
			return nil, err
		}
	}
	for _, arg := range args {
		m, err := midiio.ParseMessage(arg)
		if m.OfPort() {
			err = fmt.Errorf("%s is what a port tells of itself, and nothing to send", m)
		}
		messages, wrong = append(messages, m), append(wrong, err)
	}
	return messages, errors.Join(wrong...)
}

func isMessage(arg string) bool {
	_, err := midiio.ParseMessage(arg)
	return err == nil
}

// send sends messages, and waits while they leave keys on.
func send(ctx context.Context, out *midiio.Output, messages []midiio.Message, hold time.Duration) error {
	for _, m := range messages {
		out.Send(m)
	}
	if err := drain(ctx, out); err != nil {
		return err
	}
	if dropped := out.Backlog().Dropped; dropped > 0 {
		return fmt.Errorf("%d messages were lost: too many at once", dropped)
	}
	if out.Holds() {
		return pause(ctx, hold)
	}
	return nil
}
