package midiio

import "sync"

// queueSize is how many messages wait at most. It is more than there are
// different ways to end notes, 128 keys and 6 channel modes on 16 channels, so
// a full queue always has a message that may go (see queue.put).
const queueSize = 4096

// queue is a bounded list of messages. When it is full the new message is
// lost, and counted; but what ends notes is never lost.
type queue struct {
	list    []Timed
	dropped int
	skip    bool // the rest of a system exclusive message whose part was lost
}

func (q *queue) put(t Timed) {
	part := t.Message.Kind == More || t.Message.Kind == End
	if part && q.skip {
		q.skip = t.Message.Kind != End
		q.dropped++
		return
	}
	q.skip = false
	if len(q.list) < queueSize {
		q.list = append(q.list, t)
		return
	}
	if !t.Message.releases() {
		q.skip = t.Message.goesOn()
		q.dropped++
		return
	}
	for i := len(q.list) - 1; i >= 0; i-- {
		if m := q.list[i].Message; !m.releases() {
			q.skip = m.goesOn()
			q.dropped++
			q.list = append(append(q.list[:i], q.list[i+1:]...), t)
			return
		}
	}
	// All that wait end notes, and are so many that this one is among them.
}

// releases reports a message that ends notes, or what a port tells of itself.
func (m Message) releases() bool { return m.EndsNote() || m.silences() || m.OfPort() }

// goesOn reports a part of a system exclusive message that is not its last.
func (m Message) goesOn() bool { return m.Kind == Begin || m.Kind == More }

// Queue hands messages from one goroutine to another. Putting one in never
// waits, however slow the reader is.
type Queue struct {
	mu     sync.Mutex
	queue  queue
	closed bool
	err    error
	ready  chan struct{}
	taken  chan struct{}
}

// NewQueue is an empty queue.
func NewQueue() *Queue {
	return &Queue{ready: make(chan struct{}, 1), taken: make(chan struct{}, 1)}
}

// Put adds a message.
func (q *Queue) Put(t Timed) {
	q.mu.Lock()
	q.queue.put(t)
	q.mu.Unlock()
	wake(q.ready)
}

// Close tells the reader that nothing more will come, and why.
func (q *Queue) Close(err error) {
	q.mu.Lock()
	q.closed, q.err = true, err
	q.mu.Unlock()
	wake(q.ready)
}

// wake has the one who waits on a channel of one place go on.
func wake(c chan struct{}) {
	select {
	case c <- struct{}{}:
	default:
	}
}

// Ready receives when there is something to take.
func (q *Queue) Ready() <-chan struct{} { return q.ready }

// Taken is what a queue held.
type Taken struct {
	Messages []Timed
	Dropped  int   // lost since the queue was made, because the reader was slow
	Closed   bool  // nothing more will come
	Err      error // why, unless it simply ended
}

// Take takes all that waits.
func (q *Queue) Take() Taken {
	q.mu.Lock()
	defer q.mu.Unlock()
	taken := Taken{q.queue.list, q.queue.dropped, q.closed, q.err}
	q.queue.list = nil
	wake(q.taken)
	return taken
}
