package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"github.com/spf13/cobra"

	"trundle/midiio"
)

func playCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "play FILE.mid --out PORT [--on INSTRUMENT]",
		Short: "Play a standard MIDI file, or traffic that was watched, to a port",
		Long: `Play a standard MIDI file. What is wrong with the file is told by the byte, and
what is good is played. What watch printed, as text or JSON, is played as well.
From the middle (--from) the controllers, programs and bends that stand there are
sent first. Every key that is on is released at the end, after Ctrl-C too, and
the channels are silenced before the beginning. A port that goes away is looked
for, and told what stands when it is back.

With --on the map of the instrument says what a message is about: from the
middle its stops, shoes and crescendo are sent as they stand there, only notes
that are keys are released, and stops and shoes are told again after that.
Messages that are not in the map are played, and counted.`,
		Example: `  trundle play chorale.mid --out serial:/dev/ttyUSB0
  trundle play traffic.txt --out pty:organ
  trundle play chorale.mid --out file:/dev/snd/midiC1D0 --baud 31250 --from 1m30s
  trundle play chorale.mid --out serial:/dev/ttyUSB0 --on organ.yaml --from 1m30s`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return complaint{fmt.Sprintf("play takes one MIDI file, not %d", len(args)), "name one, like chorale.mid"}
			}
			return nil
		},
	}
	port := portFlag(cmd, "out", "play to `PORT`")
	on := cmd.Flags().String("on", "", "chase the stops and shoes of `INSTRUMENT`, by the map in its file")
	from := cmd.Flags().Duration("from", 0, "begin so far into the file")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		messages, length, err := loadMIDI(cmd.ErrOrStderr(), args[0])
		if err != nil {
			return err
		}
		if *from < 0 || *from > length {
			return fmt.Errorf("--from %v is outside the file, which is %v long", *from, length.Round(time.Millisecond))
		}
		p := &player{}
		if *on != "" {
			in, m, err := loadMap(*on)
			if err != nil {
				return err
			}
			p.isKey, p.registration = m.IsKey, newRegistration(in, m)
		}
		messages = p.chase(messages, *from)
		ctx, stop := untilInterrupted()
		defer stop()
		clock := midiio.NewClock()
		out, err := port.talk(cmd.ErrOrStderr(), clock)
		if err != nil {
			return err
		}
		p.out, p.clock, p.progress = out, clock, progressOn(cmd.ErrOrStderr())
		tell := port.tellOf(cmd.ErrOrStderr())
		out.Return(*port.name, func(gone error) {
			p.progress.clear()
			tell(gone != nil, gone)
			p.back.Store(gone == nil)
		})
		out.KeysAre(p.isKey)
		err = p.play(ctx, messages, *from, length-*from)
		p.progress.clear()
		dropped := p.out.Backlog().Dropped
		if err := errors.Join(err, p.close()); err != nil {
			return err
		}
		if dropped > 0 {
			return fmt.Errorf("%d messages were lost: the file has more than the link takes", dropped)
		}
		fmt.Fprintf(cmd.OutOrStdout(), "played %s, %.3f s; at most %.1f ms waited for the link\n",
			count(len(messages), "message"), (length - *from).Seconds(), float64(p.waited)/float64(time.Millisecond))
		if p.strange > 0 {
			fmt.Fprintf(cmd.OutOrStdout(), "%s not in the map of %s\n", count(p.strange, "message"), *on)
		}
		return nil
	}
	return cmd
}

// loadMIDI reads a MIDI file, or what watch printed; what is wrong with a MIDI
// file goes to stderr.
func loadMIDI(stderr io.Writer, path string) ([]midiio.Timed, time.Duration, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, 0, fmt.Errorf("%s: cannot be read: %w", path, reason(err))
	}
	if err := notAnother(path, midiKind, trafficKind); err != nil {
		return nil, 0, err
	}
	if isTraffic(data) {
		return parseTraffic(path, data)
	}
	file, faults := midiio.ReadFile(data)
	if file == nil {
		return nil, 0, fmt.Errorf("%s: %v", path, faults[0])
	}
	for _, fault := range faults {
		fmt.Fprintf(stderr, "trundle: %s: %v\n", path, fault)
	}
	messages, length := file.Messages()
	return messages, length, nil
}
