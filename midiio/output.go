package midiio

import (
	"context"
	"errors"
	"sync"
	"time"
)

// Output sends to a port. Sending never waits: a goroutine writes what the
// model of the link says has left, so that what waits can be seen, and a clock
// need not wait behind it.
type Output struct {
	port  Port
	clock Clock
	wake  chan struct{}
	done  chan struct{}

	mu      sync.Mutex
	link    Link
	keys    Keys
	writing bool
	closing bool
	err     error
}

// Talk begins to send to a port, so long a byte; 0 is without pacing.
func Talk(port Port, byteTime time.Duration, clock Clock) *Output {
	o := &Output{port: port, clock: clock, link: Link{ByteTime: byteTime}, wake: make(chan struct{}, 1), done: make(chan struct{})}
	go o.write()
	return o
}

// Send has a message sent, after those that wait unless it is real time.
func (o *Output) Send(m Message) {
	o.mu.Lock()
	o.keys.Hear(m)
	o.link.Send(o.clock(), m.Clone())
	o.mu.Unlock()
	wake(o.wake)
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

// Close drops what waits, ends every note that was begun (Keys.Silence), and
// closes the port once that is written or the port will not take it.
func (o *Output) Close() error {
	o.mu.Lock()
	o.link.Forget()
	for _, m := range o.keys.Silence() {
		o.link.Send(o.clock(), m)
	}
	limit := o.link.Backlog(o.clock()).Time + time.Second
	o.mu.Unlock()
	wake(o.wake)
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	err := o.Drain(ctx)
	if errors.Is(err, context.DeadlineExceeded) {
		err = errStuck
	}
	o.mu.Lock()
	o.closing = true
	o.mu.Unlock()
	wake(o.wake)
	closed := o.port.Close()
	<-o.done
	return errors.Join(err, closed)
}

func (o *Output) write() {
	defer close(o.done)
	timer := time.NewTimer(0)
	defer timer.Stop()
	var bytes []byte
	for {
		o.mu.Lock()
		if o.closing || o.err != nil {
			o.mu.Unlock()
			return
		}
		now := o.clock()
		due, next, idle := o.link.Due(now, bytes[:0])
		bytes = due
		o.writing = len(bytes) > 0
		o.mu.Unlock()
		if len(bytes) > 0 {
			_, err := o.port.Write(bytes)
			o.mu.Lock()
			o.writing, o.err = false, err
			o.mu.Unlock()
			continue
		}
		if idle {
			<-o.wake
			continue
		}
		timer.Reset(next - now)
		select {
		case <-timer.C:
		case <-o.wake:
		}
	}
}
