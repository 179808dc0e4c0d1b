package midiio

import (
	"errors"
	"io"
	"sync"
	"time"
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
type Input struct {
	*Queue
	port   Port
	meter  meter
	closed chan struct{}
	once   sync.Once
}

// Listen begins to listen; closing the input closes the port.
func Listen(port Port, clock Clock) *Input {
	in := &Input{Queue: NewQueue(), port: port, closed: make(chan struct{})}
	go in.listen(clock)
	return in
}

func (in *Input) listen(clock Clock) {
	var t Tokenizer
	var at time.Duration
	put := func(m Message) { in.Put(Timed{at, m.Clone()}) }
	buffer := make([]byte, queueSize/2) // what it holds has room in an empty queue
	file, _ := in.port.(stream)
	for {
		n, err := in.port.Read(buffer)
		at = clock()
		in.meter.add(at, n)
		t.Feed(buffer[:n], put)
		if file.waits && err == nil {
			select {
			case <-in.taken:
			case <-in.closed:
			}
		}
		if err != nil {
			t.Finish(put)
			if errors.Is(err, io.EOF) {
				err = nil
			}
			in.Queue.Close(err)
			return
		}
	}
}

// Load is how full the link was in the second before now, at so long a byte; 1
// is full.
func (in *Input) Load(now, byteTime time.Duration) float64 {
	return float64(time.Duration(in.meter.last(now))*byteTime) / float64(time.Second)
}

// Close ends the listening.
func (in *Input) Close() error {
	in.once.Do(func() { close(in.closed) })
	return in.port.Close()
}

// meter counts bytes by tenths of a second.
type meter struct {
	mu     sync.Mutex
	tenth  int64 // the last one counted
	counts [10]int
}

func (m *meter) add(at time.Duration, n int) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.forward(at)
	m.counts[m.tenth%10] += n
}

// last is how many bytes came in the last second.
func (m *meter) last(now time.Duration) (sum int) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.forward(now)
	for _, n := range m.counts {
		sum += n
	}
	return sum
}

func (m *meter) forward(at time.Duration) {
	now := int64(at / (100 * time.Millisecond))
	for m.tenth = max(m.tenth, now-10); m.tenth < now; {
		m.tenth++
		m.counts[m.tenth%10] = 0
	}
}
