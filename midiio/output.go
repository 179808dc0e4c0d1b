package midiio

import (
	"context"
	"errors"
	"io"
	"sync"
	"time"

	"trundle/midiio/alsa"
)

// Output sends to a port. Sending never waits: a goroutine writes what the
// model of the link says has left, so that what waits can be seen, and a clock
// need not wait behind it.
type Output struct {
	Left int // keys that an earlier program left on at this port, and are released

	clock  Clock
	ledger *ledger
	wake   chan struct{}
	done   chan struct{}
	closed chan struct{}

	mu       sync.Mutex
	port     Port
	link     Link
	keys     Keys
	isKey    func(Message) bool // nil: every note is a key
	standing standing
	writing  bool
	err      error
	away     bool
	silent   bool                 // nothing was sent since Silence
	open     func() (Port, error) // opens the port again; nil: it is not looked for
	reopen   func() (Port, error) // the same, where not by the port's name alone
	tell     func(error)
}

// Talk begins to send to a port, so long a byte; 0 is without pacing.
func Talk(port Port, byteTime time.Duration, clock Clock) *Output {
	return talk(port, byteTime, clock, &ledger{}, Keys{})
}

// TalkTo opens a port by its name and begins to send to it; a byteTime of 0 is
// that of the port. A key that an earlier program could not release, because it
// was killed, is released first.
func TalkTo(name string, byteTime time.Duration, clock Clock) (*Output, error) {
	port, err := openOut(name)
	if err != nil {
		return nil, err
	}
	if byteTime == 0 {
		byteTime = port.ByteTime()
	}
	if file, ok := port.(stream); ok && file.regular {
		return Talk(port, byteTime, clock), nil // no key sounds in a file
	}
	ledger, left := openLedger(name)
	return talk(port, byteTime, clock, ledger, left), nil
}

// openOut opens a port that nobody reads. What a peer of a session plays is
// dropped here: while it waited, the session could not go on.
func openOut(name string) (Port, error) {
	port, err := Open(name, Out)
	if session := networkOf(port); session != nil {
		go func() { _, _ = io.Copy(io.Discard, session) }() // it ends with the port
	}
	return port, err
}

func talk(port Port, byteTime time.Duration, clock Clock, ledger *ledger, left Keys) *Output {
	o := &Output{
		Left: left.Count(), clock: clock, ledger: ledger, port: port, link: Link{ByteTime: byteTime, Whole: takesMessages(port)},
		wake: make(chan struct{}, 1), done: make(chan struct{}), closed: make(chan struct{}),
	}
	for _, m := range left.Silence() {
		o.link.Send(clock(), m)
	}
	go o.write()
	return o
}

// takesMessages reports a port that waits for the end of a message anyway.
func takesMessages(port Port) bool {
	_, whole := port.(interface{ WholeMessages() })
	return whole
}

// Send has a message sent, after those that wait unless it is real time. While
// the port is away it is only remembered what stands, see Return.
func (o *Output) Send(m Message) {
	if m.OfPort() {
		return
	}
	o.mu.Lock()
	o.silent = false
	o.follow(m)
	o.standing.hear(m)
	if !o.away {
		o.link.Send(o.clock(), m.Clone())
	}
	o.mu.Unlock()
	wake(o.wake)
}

// follow notes which keys are held.
func (o *Output) follow(m Message) {
	if keyOrNoNote(m, o.isKey) {
		o.keys.Hear(m)
	}
}

// keyOrNoNote is false for a note that begins and is no key.
func keyOrNoNote(m Message, isKey func(Message) bool) bool {
	return isKey == nil || !m.StartsNote() || isKey(m)
}

// KeysAre says which notes are keys and must be ended, where a map has others
// that stand for controls. It comes before anything is sent.
func (o *Output) KeysAre(isKey func(Message) bool) {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.isKey = isKey
}

// Silence drops what waits and ends every note that was begun (Keys.Silence);
// then comes what must stand afterwards, like the state of controls. What it sends
// is returned.
func (o *Output) Silence(after ...Message) (sent []Message) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.away {
		return nil
	}
	o.link.Forget()
	sent = append(o.keys.Silence(), after...)
	for _, m := range sent {
		o.follow(m)
		o.link.Send(o.clock(), m)
	}
	o.silent = true
	wake(o.wake)
	return sent
}

// Holds reports whether a key that was sent is still on.
func (o *Output) Holds() bool {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.keys.Any()
}

// Backlog is what waits.
func (o *Output) Backlog() Backlog {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.link.Backlog(o.clock())
}

// Drain waits until all is written, the context ends, or writing fails.
func (o *Output) Drain(ctx context.Context) error {
	tick := time.NewTicker(time.Millisecond)
	defer tick.Stop()
	for {
		o.mu.Lock()
		idle, err := o.idle(), o.err
		o.mu.Unlock()
		if idle || err != nil {
			return err
		}
		select {
		case <-tick.C:
		case <-ctx.Done():
			return ctx.Err()
		}
	}
}

func (o *Output) idle() bool {
	return !o.writing && len(o.link.sending)+len(o.link.realTime)+len(o.link.waiting.list) == 0
}

// errStuck is that of a port which takes no bytes.
var errStuck = errors.New("the port took no more bytes: notes may be left sounding")

// Close silences the port (Silence), and closes it once that is written or the
// port will not take it.
func (o *Output) Close(after ...Message) error {
	o.mu.Lock()
	silent, away := o.silent && len(after) == 0, o.away
	if away {
		close(o.closed) // it does not come back from now on
	}
	o.mu.Unlock()
	if away {
		<-o.done
		o.ledger.close()
		return errAway
	}
	if !silent {
		o.Silence(after...)
	}
	limit := o.Backlog().Time + time.Second
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	err := o.Drain(ctx)
	if errors.Is(err, context.DeadlineExceeded) {
		err = errStuck
	}
	o.mu.Lock()
	close(o.closed)
	closed := o.port.Close()
	if o.away {
		err, closed = errAway, nil
	}
	o.mu.Unlock()
	wake(o.wake)
	select {
	case <-o.done:
		o.ledger.close()
	case <-time.After(time.Second): // some systems let nothing end a write
	}
	return errors.Join(err, closed)
}

func (o *Output) isClosed() bool {
	select {
	case <-o.closed:
		return true
	default:
		return false
	}
}

// wrote takes what came of writing. A port that went away is waited for.
func (o *Output) wrote(err error) {
	o.mu.Lock()
	o.writing = false
	away := err != nil && o.open != nil && !o.isClosed()
	if o.away = away; !away {
		o.err = err
	}
	o.mu.Unlock()
	if away {
		o.await(err)
	}
}

func (o *Output) write() {
	defer close(o.done)
	timer := time.NewTimer(0)
	defer timer.Stop()
	var bytes []byte
	for {
		o.mu.Lock()
		if o.err != nil || o.isClosed() {
			o.mu.Unlock()
			return
		}
		now := o.clock()
		due, next, idle := o.link.Due(now, bytes[:0])
		bytes = due
		o.writing = len(bytes) > 0
		isKey, gone := o.isKey, goneOf(o.port)
		o.mu.Unlock()
		if len(bytes) > 0 {
			o.wrote(o.ledger.write(o.port, bytes, isKey))
			continue
		}
		if idle {
			select {
			case <-o.wake:
			case <-o.closed:
			case <-gone:
				o.wrote(alsa.ErrGone)
			}
			continue
		}
		timer.Reset(next - now)
		select {
		case <-timer.C:
		case <-o.wake:
		}
	}
}
