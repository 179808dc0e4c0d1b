package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"sync/atomic"
	"time"

	"golang.org/x/term"

	"trundle/midiio"
)

// player sends messages when their time comes.
type player struct {
	out          *midiio.Output
	clock        midiio.Clock
	waited       time.Duration             // the longest that anything waited for the link
	isKey        func(midiio.Message) bool // nil: every note is a key
	registration *registration             // nil without an instrument
	strange      int                       // messages that are not in its map
	progress     progress
	begin        time.Duration // by the clock, of the file
	back         atomic.Bool   // the port was away, and has to be told how controls stand
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

// play sends messages at their times, of which the first is so far into the
// file, and waits for the end of the whole.
func (p *player) play(ctx context.Context, messages []midiio.Timed, from, length time.Duration) error {
	for _, m := range p.silenceFor(messages) {
		p.out.Send(m)
	}
	if err := drain(ctx, p.out); err != nil {
		return err
	}
	begin := p.clock()
	p.begin = begin - from
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
	for {
		if p.back.Swap(false) && p.registration != nil {
			for _, m := range p.registration.messages() {
				p.out.Send(m)
			}
		}
		now := p.clock()
		if now >= at {
			return ctxError(ctx)
		}
		backlog := p.out.Backlog().Time
		p.waited = max(p.waited, backlog)
		p.progress.show(now-p.begin, backlog)
		if err := pause(ctx, min(at-now, time.Second/4)); err != nil {
			return err
		}
	}
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

// progress is a line on a terminal that says where a file stands; the zero value
// shows nothing.
type progress struct{ to io.Writer }

// progressOn shows progress on a terminal, and on nothing else.
func progressOn(w io.Writer) progress {
	if f, ok := w.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		return progress{w}
	}
	return progress{}
}

func (p progress) show(at, backlog time.Duration) {
	if p.to != nil {
		fmt.Fprintf(p.to, "\r%.1f s; %.1f ms wait for the link\x1b[K", at.Seconds(), float64(backlog)/float64(time.Millisecond))
	}
}

// clear takes the line away.
func (p progress) clear() {
	if p.to != nil {
		fmt.Fprint(p.to, "\r\x1b[K")
	}
}
