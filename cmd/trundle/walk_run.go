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

// written is a line that someone wrote, or that someone has joined.
type written struct {
	who   string // "" at the first terminal
	text  string
	joins io.Writer // their terminal, nil for a line
}

// leader leads through something by what is written and what comes at a port. It
// has no clock: it is told the time.
type leader interface {
	begin(now time.Duration)
	line(l written, now time.Duration) error
	hear(t midiio.Timed, now time.Duration) error
	due() (at time.Duration, is bool)
	waits() bool // for a line, whatever comes
	tick(now time.Duration) error
	say() []midiio.Message // what is to be sent, once
	flush() (ended bool, err error)
}

// run has a leader lead, until it has ended, there is nothing more to come, or
// the command is interrupted. others, which may be nil, are further terminals.
func (c *walkCable) run(k leader, lines <-chan string, others *terminals, heard func(midiio.Timed) error) error {
	timer := time.NewTimer(time.Hour)
	defer timer.Stop()
	var ready <-chan struct{}
	if c.in != nil {
		ready = c.in.Ready()
	}
	if c.out != nil { // what a killed walk had left on was let go
		settle(c.ctx, c.out)
		select {
		case <-c.ctx.Done():
		case <-time.After(contactsSettle):
		}
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
		if lines == nil && others.count() == 0 && (k.waits() || ready == nil && !due) {
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
			if err := k.tick(c.clock()); err != nil {
				return err
			}
		case line, more := <-lines:
			if !more {
				lines = nil
				continue
			}
			if err := k.line(written{text: line}, c.clock()); err != nil {
				return err
			}
		case l := <-others.wrote():
			if err := k.line(l, c.clock()); err != nil {
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

// close silences the organ, has stand what must, hears what is said of that, and
// closes the ports.
func (c *walkCable) close(after []midiio.Message, heard func(midiio.Timed) (all bool)) (err error) {
	if c.out != nil {
		settle(c.ctx, c.out)
	}
	c.stop()
	if c.out != nil {
		err = c.out.Close(after...)
	}
	if c.in == nil {
		return err
	}
	if c.out != nil && heard != nil {
		c.hearOut(heard)
	}
	return errors.Join(err, c.in.Close())
}

// contactsSettle is longer than a relay takes to believe a contact. Common practice,
// no source.
const contactsSettle = 50 * time.Millisecond

// How long an organ may take to fall silent, and how long nothing comes from one
// that has. Common practice, no source.
const (
	toSilence = time.Second
	isSilent  = 150 * time.Millisecond
)

// hearOut hears what still comes, until that is all.
func (c *walkCable) hearOut(heard func(midiio.Timed) (all bool)) {
	late, wait := time.After(toSilence), time.After(isSilent)
	for {
		select {
		case <-late:
			return
		case <-wait:
			return
		case <-c.in.Ready():
			taken, all := c.in.Take(), false
			for _, m := range taken.Messages {
				all = heard(m)
			}
			if taken.Closed || taken.Err != nil {
				return
			}
			if wait = nil; all {
				wait = time.After(isSilent)
			}
		}
	}
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
