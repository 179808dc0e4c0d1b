package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"sync/atomic"
	"time"

	"github.com/spf13/cobra"

	"trundle/console"
	"trundle/console/finding"
	"trundle/midiio"
	"trundle/midiio/mapping"
)

// actor is what works at the end of a cable in its own time: a stand-in, a
// script, a test.
type actor interface {
	Hear(midiio.Timed)
	Next() (at time.Duration, due bool)
	Tick(to []midiio.Message, now time.Duration) []midiio.Message
}

// portGone and portBack are what a port tells when it has gone, and is there again.
var (
	portGone, _ = midiio.ParseMessage("port-gone")
	portBack, _ = midiio.ParseMessage("port-back")
)

// cable is a pair of ports that are listened and talked to.
type cable struct {
	in    *midiio.Input
	out   *midiio.Output
	clock midiio.Clock
	ctx   context.Context
	stop  context.CancelFunc
	exact bool // what is due is sent as exactly as the system lets it

	flooded  func(why string) // told that messages came faster than they were taken, if not nil
	lines    <-chan string    // what is written meanwhile, nil for nothing
	wrote    func(line string)
	returned atomic.Bool // what is sent goes out again
}

// cableFlags are --in, --out and --baud.
type cableFlags struct{ in, out portFlags }

func addCableFlags(cmd *cobra.Command, in, out string) cableFlags {
	f := cableFlags{in: portFlag(cmd, "in", in)}
	f.out = f.in // they share --baud
	f.out.flag, f.out.name = "out", cmd.Flags().String("out", "", out)
	return f
}

// named complains of a port that is missing.
func (f cableFlags) named() error {
	if _, err := f.in.rate(); err != nil {
		return err
	}
	_, err := f.out.rate()
	return err
}

// open opens both ports. Who speaks first waits until someone has joined, where
// that is for others to do.
func (f cableFlags) open(isKey func(midiio.Message) bool, speaksFirst bool) (*cable, error) {
	if err := f.named(); err != nil {
		return nil, err
	}
	byteTime, err := f.out.rate()
	if err != nil {
		return nil, err
	}
	stderr := f.in.cmd.ErrOrStderr()
	c := &cable{clock: midiio.NewClock(), exact: speaksFirst}
	err = f.out.patiently(stderr, func() (err error) {
		if c.in, c.out, err = midiio.ListenAndTalk(*f.in.name, *f.out.name, byteTime, c.clock); err != nil {
			return err
		}
		n := c.out.Network()
		f.out.tellNews(stderr, n)
		if c.in.Network() != n {
			f.in.tellNews(stderr, c.in.Network())
		}
		if n != nil && n.Waits && speaksFirst {
			return n.Wait()
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	if n := c.out.Left; n > 0 {
		fmt.Fprintf(stderr, "trundle: %s: %s that a program left on, because it was killed, %s released\n", *f.out.name, count(n, "key"), isAre(n))
	}
	c.out.KeysAre(isKey)
	tell := f.out.tellOf(stderr)
	c.out.Return(*f.out.name, func(gone error) {
		tell(gone != nil, gone)
		c.returned.Store(gone == nil)
	})
	c.ctx, c.stop = untilInterrupted()
	return c, nil
}

// errEnded is that of a port which has ended and will not come back.
var errEnded = errors.New("the port has ended")

// near is how soon something is due that is waited for exactly, and glance how
// often it is looked meanwhile whether something came.
const near, glance = 50 * time.Millisecond, time.Millisecond

// run runs an actor until done says so, the port has ended and there is nothing
// more to do, or the command is interrupted. What goes over the cable is told to
// seen.
func (c *cable) run(a actor, done func() bool, seen func(m midiio.Timed, sent bool)) error {
	defer urgent()()
	timer := time.NewTimer(0)
	defer timer.Stop()
	var out []midiio.Message
	for ended := false; ; {
		taken := c.in.Take()
		for _, m := range taken.Messages {
			seen(m, false)
			a.Hear(m)
		}
		if taken.Dropped > 0 && c.flooded != nil { // unless what came before said so
			c.flooded(fmt.Sprintf("it is flooded: %s came faster than they could be taken", count(taken.Dropped, "message")))
		}
		if c.returned.Swap(false) {
			a.Hear(midiio.Timed{At: c.clock(), Message: portBack})
		}
		if taken.Closed && !ended {
			ended = true
			a.Hear(midiio.Timed{At: c.clock(), Message: portGone})
		}
		now := c.clock()
		out = a.Tick(out[:0], now)
		for _, m := range out {
			c.out.Send(m)
			seen(midiio.Timed{At: c.clock(), Message: m}, true)
		}
		if done() {
			return ctxError(c.ctx)
		}
		at, due := a.Next()
		switch {
		case ended && taken.Err != nil:
			return fmt.Errorf("the port is lost: %w", reason(taken.Err))
		case ended && !due:
			return errEnded
		}
		wait := time.Second
		if due {
			wait = at - c.clock()
		}
		if c.exact {
			if wait < near {
				waitFor(min(wait, glance))
				if err := ctxError(c.ctx); err != nil {
					return err
				}
				continue
			}
			wait -= near / 2
		}
		timer.Reset(wait)
		select {
		case <-c.in.Ready():
		case <-timer.C:
		case line, more := <-c.lines:
			if !more {
				c.lines = nil
				continue
			}
			c.wrote(line)
		case <-c.ctx.Done():
			return errInterrupted
		}
	}
}

// close silences the organ and closes the ports; then comes what must stand. What
// that sends is kept, and what is answered to it, which the next program at the port
// would hear otherwise.
func (c *cable) close(kept *transcript, after ...midiio.Message) error {
	c.stop()
	for _, m := range c.out.Silence(after...) {
		kept.message(midiio.Timed{At: c.clock(), Message: m}, true)
	}
	c.settle(kept)
	return errors.Join(c.out.Close(), c.in.Close())
}

// An organ has answered when nothing came for so long, and is not listened to for
// longer than that (common practice, no source).
const answerQuiet, mostAnswered = 50 * time.Millisecond, 500 * time.Millisecond

// settle takes what comes once the last of what was said has left, until it is quiet.
func (c *cable) settle(kept *transcript) {
	last := c.clock() + c.out.Backlog().Time
	for end := last + mostAnswered; ; waitFor(glance) {
		taken := c.in.Take()
		for _, m := range taken.Messages {
			kept.message(m, false)
			if !m.Message.RealTime() {
				last = max(last, m.At)
			}
		}
		if taken.Closed || c.clock() >= min(last+answerQuiet, end) {
			return
		}
	}
}

// tellInterrupted says how far a test was that is interrupted, and that nothing is
// left on, unless closing the cable says otherwise.
func tellInterrupted(stderr io.Writer, test, far string, closed error) {
	released := "; all that was on is released"
	if closed != nil {
		released = ""
	}
	fmt.Fprintf(stderr, "trundle: %s: interrupted %s%s\n", test, far, released)
}

// loadClearMap reads an instrument and its map, in which no message may mean two
// things: what comes back could not be told apart.
func loadClearMap(stderr io.Writer, path string) (*console.Instrument, *mapping.Map, error) {
	in, m, err := loadMap(path)
	if err != nil {
		return nil, nil, err
	}
	_, found := mapping.Load(in)
	if found = slices.DeleteFunc(found, func(f finding.Finding) bool { return f.Severity != finding.Error }); len(found) > 0 {
		return nil, nil, broken{found, checkCommandFor(path, "")}
	}
	tellSparse(stderr, in, m)
	return in, m, nil
}
