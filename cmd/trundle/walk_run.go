package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"time"

	"trundle/midiio"
)

// walkCable is the ports of a walk, either of which may be nil, and its clock.
type walkCable struct {
	in    *midiio.Input
	out   *midiio.Output
	clock midiio.Clock
	ctx   context.Context
	stop  context.CancelFunc
}

// openWalk opens the ports that are named.
func (f walkFlags) openWalk(isKey func(midiio.Message) bool) (*walkCable, error) {
	c := &walkCable{clock: midiio.NewClock()}
	if *f.ports.in.name != "" && *f.ports.out.name != "" {
		both, err := f.ports.open(isKey, true)
		if err != nil {
			return nil, err
		}
		c.in, c.out, c.clock, c.ctx, c.stop = both.in, both.out, both.clock, both.ctx, both.stop
		return c, nil
	}
	var err error
	stderr := f.ports.in.cmd.ErrOrStderr()
	if *f.ports.in.name != "" {
		if c.in, _, err = f.ports.in.listen(c.clock); err != nil {
			return nil, err
		}
	}
	if *f.ports.out.name != "" {
		if c.out, err = f.ports.out.talk(stderr, c.clock); err != nil {
			return nil, err
		}
		c.out.KeysAre(isKey)
		tell := f.ports.out.tellOf(stderr)
		c.out.Return(*f.ports.out.name, func(gone error) { tell(gone != nil, gone) })
	}
	c.ctx, c.stop = untilInterrupted()
	return c, nil
}

// leader leads through something by what is written and what comes at a port. It
// has no clock: it is told the time.
type leader interface {
	begin(now time.Duration)
	line(text string, now time.Duration) error
	hear(t midiio.Timed, now time.Duration) error
	due() (at time.Duration, is bool)
	tick(now time.Duration)
	say() []midiio.Message // what is to be sent, once
	flush() (ended bool, err error)
}

// run has a leader lead, until it has ended, there is nothing more to come, or
// the command is interrupted.
func (c *walkCable) run(k leader, lines <-chan string, heard func(midiio.Timed) error) error {
	timer := time.NewTimer(time.Hour)
	defer timer.Stop()
	var ready <-chan struct{}
	if c.in != nil {
		ready = c.in.Ready()
	}
	k.begin(c.clock())
	for {
		for _, m := range k.say() {
			if c.out != nil {
				c.out.Send(m)
			}
		}
		if ended, err := k.flush(); err != nil || ended {
			return err
		}
		at, due := k.due()
		if lines == nil && ready == nil && !due {
			return nil
		}
		wait := time.Hour
		if due {
			wait = at - c.clock()
		}
		timer.Reset(wait)
		select {
		case <-c.ctx.Done():
			return errInterrupted
		case <-timer.C:
			k.tick(c.clock())
		case line, more := <-lines:
			if !more {
				lines = nil
				continue
			}
			if err := k.line(line, c.clock()); err != nil {
				return err
			}
		case <-ready:
			taken := c.in.Take()
			for _, m := range taken.Messages {
				if err := errors.Join(heard(m), k.hear(m, c.clock())); err != nil {
					return err
				}
			}
			if taken.Err != nil {
				return fmt.Errorf("the port is lost: %w", reason(taken.Err))
			}
			if taken.Closed {
				ready = nil
			}
		}
	}
}

// close silences the organ, has stand what must, and closes the ports.
func (c *walkCable) close(after []midiio.Message) (err error) {
	if c.out != nil {
		settle(c.ctx, c.out)
	}
	c.stop()
	if c.out != nil {
		err = c.out.Close(after...)
	}
	if c.in != nil {
		err = errors.Join(err, c.in.Close())
	}
	return err
}

// settle lets what waits be written, unless that takes long: to silence an organ
// drops it.
func settle(ctx context.Context, out *midiio.Output) {
	ctx, stop := context.WithTimeout(ctx, time.Second)
	defer stop()
	_ = out.Drain(ctx) // what is lost by it is released all the same
}

// wholeLines hands on the lines of a reader as they come, and ends with it.
func wholeLines(r io.Reader) <-chan string {
	lines := make(chan string)
	go func() {
		defer close(lines)
		for scanner := bufio.NewScanner(r); scanner.Scan(); {
			lines <- scanner.Text()
		}
	}()
	return lines
}
