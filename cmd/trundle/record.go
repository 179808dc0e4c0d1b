package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"trundle/midiio"
)

func recordCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "record --in PORT --to FILE.mid",
		Short: "Record what comes from a port into a standard MIDI file",
		Long: `Record every message until the port ends, --for is over or Ctrl-C, and then
write the file: one track, in ticks of a tenth of a millisecond. Bytes that are
no message are recorded as they came.`,
		Example: `  trundle record --in serial:/dev/ttyUSB0 --to evening.mid
  trundle record --in file:/dev/snd/midiC1D0 --to evening.mid --for 10m --without active-sensing`,
		Args: noArguments,
	}
	port := portFlag(cmd, "in", "record from `PORT`")
	to := cmd.Flags().String("to", "", "write `FILE`.mid")
	limit := cmd.Flags().Duration("for", 0, "end after so long; 0: when the port ends")
	filter := filterFlags(cmd)
	cmd.RunE = func(cmd *cobra.Command, _ []string) error {
		if *to == "" {
			return complaint{"--to is missing", "name the file to write, like evening.mid"}
		}
		keep, err := filter.parse()
		if err != nil {
			return err
		}
		h, err := hearFrom(port, *limit)
		if err != nil {
			return err
		}
		var messages []midiio.Timed
		dropped := 0
		ended := h.each(func(taken midiio.Taken) error {
			for _, t := range taken.Messages {
				if keep(t.Message) {
					messages = append(messages, t)
				}
			}
			dropped = taken.Dropped
			return nil
		})
		data, err := midiio.Recording(messages, 0, h.clock()).Bytes()
		if err == nil {
			err = writeWhole(*to, data)
		}
		if err != nil {
			return errors.Join(fmt.Errorf("%s: cannot be written: %w", *to, reason(err)), ended)
		}
		if dropped > 0 {
			ended = errors.Join(fmt.Errorf("%d messages were lost, because they came too fast", dropped), ended)
		}
		_, err = fmt.Fprintf(cmd.OutOrStdout(), "recorded %s, %.3f s\n", count(len(messages), "message"), h.clock().Seconds())
		return errors.Join(ended, err)
	}
	return cmd
}

// hearing is a port that is listened to until it ends, or the time is over, or
// the command is interrupted.
type hearing struct {
	in       *midiio.Input
	name     string
	byteTime time.Duration
	clock    midiio.Clock
	limit    time.Duration
	ctx      context.Context
	stop     context.CancelFunc
}

func hearFrom(port portFlags, limit time.Duration) (*hearing, error) {
	ctx, stop := untilInterrupted()
	opened, byteTime, err := port.open()
	if err != nil {
		stop()
		return nil, err
	}
	clock := midiio.NewClock()
	return &hearing{midiio.Listen(opened, clock), *port.name, byteTime, clock, limit, ctx, stop}, nil
}

// each hands on what comes, and at least ten times a second that nothing did.
func (h *hearing) each(do func(midiio.Taken) error) error {
	defer h.stop()
	tick := time.NewTicker(100 * time.Millisecond)
	defer tick.Stop()
	var over <-chan time.Time
	if h.limit > 0 {
		timer := time.NewTimer(h.limit)
		defer timer.Stop()
		over = timer.C
	}
	for done := false; ; {
		var interrupted error
		select {
		case <-h.in.Ready():
		case <-tick.C:
		case <-over:
			done = true
		case <-h.ctx.Done():
			done, interrupted = true, errInterrupted
		}
		taken := h.in.Take()
		if err := do(taken); err != nil {
			return err
		}
		switch {
		case taken.Err != nil:
			return fmt.Errorf("%s: the port is lost: %w", h.name, reason(taken.Err))
		case done:
			return errors.Join(interrupted, h.in.Close())
		case taken.Closed:
			return nil
		}
	}
}

// writeWhole writes a file so that it is there whole or as it was.
func writeWhole(path string, data []byte) error {
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+"-*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name()) // fails once it has its name
	_, err = f.Write(data)
	if err := errors.Join(err, f.Chmod(0o644), f.Sync(), f.Close()); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}
