package main

import (
	"context"
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
		p := player{}
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
		tell := port.tellOf(cmd.ErrOrStderr())
		out.Return(*port.name, func(gone error) { tell(gone != nil, gone) })
		out.KeysAre(p.isKey)
		p.out, p.clock = out, clock
		err = p.play(ctx, messages, length-*from)
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

// loadMIDI reads a MIDI file, or what watch printed; what is wrong with it goes to stderr.
func loadMIDI(stderr io.Writer, path string) ([]midiio.Timed, time.Duration, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, 0, fmt.Errorf("%s: cannot be read: %w", path, reason(err))
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

// player sends messages when their time comes.
type player struct {
	out          *midiio.Output
	clock        midiio.Clock
	waited       time.Duration             // the longest that anything waited for the link
	isKey        func(midiio.Message) bool // nil: every note is a key
	registration *registration             // nil without an instrument
	strange      int                       // messages that are not in its map
}

// chase is what to send to begin at a time.
func (p *player) chase(messages []midiio.Timed, from time.Duration) []midiio.Timed {
	if p.registration == nil {
		return midiio.Chase(messages, from)
	}
	return p.registration.chase(messages, from)
}

// close silences the port, and has the controls stand as they did.
func (p *player) close() error {
	if p.registration == nil {
		return p.out.Close()
	}
	return p.out.Close(p.registration.messages()...)
}

// play sends messages at their times, and waits for the end of the whole.
func (p *player) play(ctx context.Context, messages []midiio.Timed, length time.Duration) error {
	for _, m := range p.silenceFor(messages) {
		p.out.Send(m)
	}
	if err := drain(ctx, p.out); err != nil {
		return err
	}
	begin := p.clock()
	for _, m := range messages {
		if err := p.until(ctx, begin+m.At); err != nil {
			return err
		}
		p.out.Send(m.Message)
		if p.registration != nil && !p.registration.hear(m) {
			p.strange++
		}
	}
	if err := p.until(ctx, begin+length); err != nil {
		return err
	}
	return drain(ctx, p.out)
}

// until waits for a time, and meanwhile sees what waits for the link.
func (p *player) until(ctx context.Context, at time.Duration) error {
	wait := at - p.clock()
	if wait <= 0 {
		return ctxError(ctx)
	}
	p.waited = max(p.waited, p.out.Backlog().Time)
	return pause(ctx, wait)
}

func ctxError(ctx context.Context) error {
	if ctx.Err() != nil {
		return errInterrupted
	}
	return nil
}

// silenceFor ends what an earlier program may have left on: on the channels of
// the keys that are to come, and nowhere else.
func (p *player) silenceFor(messages []midiio.Timed) []midiio.Message {
	var keys midiio.Keys
	for _, m := range messages {
		if p.isKey == nil || p.isKey(m.Message) {
			keys.Hear(m.Message)
		}
	}
	for _, m := range keys.Silence() {
		keys.Hear(m)
	}
	return keys.Silence()
}
