package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"syscall"
	"time"

	"trundle/midiio"
)

// errInterrupted is returned by a command that was interrupted and has left
// things in order.
var errInterrupted = errors.New("interrupted")

// untilInterrupted takes over the signals that end the program: main would end
// it at once, and a command with a port open must silence it first.
func untilInterrupted() (context.Context, context.CancelFunc) {
	signals := []os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP}
	signal.Reset(signals...)
	return signal.NotifyContext(context.Background(), signals...)
}

// pause waits, or tells that the command is interrupted.
func pause(ctx context.Context, d time.Duration) error {
	timer := time.NewTimer(d)
	defer timer.Stop()
	select {
	case <-timer.C:
		return nil
	case <-ctx.Done():
		return errInterrupted
	}
}

// drain waits until all is sent, or tells that the command is interrupted.
func drain(ctx context.Context, out *midiio.Output) error {
	if err := out.Drain(ctx); errors.Is(err, context.Canceled) {
		return errInterrupted
	} else {
		return err
	}
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
	clock := midiio.NewClock()
	in, byteTime, err := port.listen(clock)
	if err != nil {
		stop()
		return nil, err
	}
	port.tellNews(port.cmd.ErrOrStderr(), in.Network())
	return &hearing{in, *port.name, byteTime, clock, limit, ctx, stop}, nil
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
