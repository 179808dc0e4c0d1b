package midiio

import (
	"errors"
	"io"
	"sync"
	"time"

	"trundle/midiio/alsa"
)

// Clock tells the time since some beginning; it never goes back.
type Clock func() time.Duration

// NewClock is a clock that begins now.
func NewClock() Clock {
	start := time.Now() // carries the monotonic clock
	return func() time.Duration { return time.Since(start) }
}

// Input listens to a port: every message is stamped when its last byte
// arrives, and waits in a queue until it is taken. A file is read no faster than
// that, so nothing of it is lost.
//
// What the system loses is told of by the message port-overrun, a port that goes
// away by port-gone: whoever follows the messages lets go of all keys, as Keys,
// Monitor and Recorder do. A port opened by its name that went away is looked for
// until it is there again, which port-back tells.
type Input struct {
	*Queue
	clock    Clock
	byteTime time.Duration
	open     func() (Port, error) // opens the port again; nil when it does not return
	meter    meter
	closed   chan struct{}
	once     sync.Once

	mu   sync.Mutex
	port Port
}

// Listen begins to listen; closing the input closes the port.
func Listen(port Port, clock Clock) *Input { return listen(port, nil, clock) }

// ListenTo opens a port by its name and listens to it, so long as the input is
// not closed, or the port is one that ends.
func ListenTo(name string, clock Clock) (*Input, error) {
	port, err := Open(name, In)
	if err != nil {
		return nil, err
	}
	if !returns(name, port) {
		return Listen(port, clock), nil
	}
	name = fullName(name, port)
	return listen(port, func() (Port, error) { return Open(name, In) }, clock), nil
}

func listen(port Port, open func() (Port, error), clock Clock) *Input {
	in := &Input{Queue: NewQueue(), clock: clock, byteTime: port.ByteTime(), open: open, port: port, closed: make(chan struct{})}
	go in.listen(port)
	return in
}

func (in *Input) listen(port Port) {
	for port != nil {
		err := in.hear(port)
		select {
		case <-in.closed:
			in.Queue.Close(nil)
			return
		default:
		}
		if errors.Is(err, io.EOF) {
			in.Queue.Close(nil)
			return
		}
		in.Put(Timed{in.clock(), Message{Kind: Gone, Status: sysEx}})
		if in.open == nil {
			in.Queue.Close(err)
			return
		}
		in.hold(nil)
		_ = port.Close() // it is gone: what it has to say is known
		port = again(in.open, in.closed)
		in.hold(port)
		if port != nil {
			in.Put(Timed{in.clock(), Message{Kind: Back, Status: sysEx}})
		}
	}
	in.Queue.Close(nil)
}

// hold keeps the port that Close is to close, and closes it if that was before.
func (in *Input) hold(port Port) {
	in.mu.Lock()
	defer in.mu.Unlock()
	select {
	case <-in.closed:
		if port != nil {
			_ = port.Close()
		}
	default:
		in.port = port
	}
}

// hear puts what comes from a port into the queue, until the port fails.
func (in *Input) hear(port Port) error {
	var t Tokenizer
	var at time.Duration
	put := func(m Message) { in.Put(Timed{at, m.Clone()}) }
	buffer := make([]byte, queueSize/2) // what it holds has room in an empty queue
	file, _ := port.(stream)
	for {
		n, err := port.Read(buffer)
		at = in.clock()
		in.meter.add(at, n)
		t.Feed(buffer[:n], put)
		if file.regular && err == nil {
			select {
			case <-in.taken:
			case <-in.closed:
			}
		}
		if err == nil {
			continue
		}
		t.Finish(put)
		if _, lost := errors.AsType[alsa.LostError](err); !lost {
			return err
		}
		put(Message{Kind: Overrun, Status: sysEx})
	}
}

// ByteTime is how long a byte takes on the line, 0 where that is unknown.
func (in *Input) ByteTime() time.Duration { return in.byteTime }

// Load is how full the link was in the second before now, at so long a byte; 1
// is full.
func (in *Input) Load(now, byteTime time.Duration) float64 {
	return float64(time.Duration(in.meter.last(now))*byteTime) / float64(time.Second)
}

// Close ends the listening.
func (in *Input) Close() error {
	in.once.Do(func() { close(in.closed) })
	in.mu.Lock()
	defer in.mu.Unlock()
	if in.port == nil {
		return nil
	}
	return in.port.Close()
}
