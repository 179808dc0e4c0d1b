package midiio

import "sync"

// queueSize is how many messages wait at most: an organ of 17,000 valves reports
// 6,650 at once, three messages each where they are parameters. Behind them there
// is room for what ends notes: more than there are ways to, by 128 keys and 6
// channel modes on 16 channels and a reset, so that of those that end the same the
// last can be kept.
const queueSize, roomForEnds = 1 << 15, 1 << 12

// queue is a bounded list of messages. When it is full the new message is
// lost, and counted; but what ends notes is never lost.
type queue struct {
	list    []Timed
	dropped int
	skip    bool // the parts up to the next Begin: one of their message was lost
}

func (q *queue) put(t Timed) {
	part := t.Message.Kind == More || t.Message.Kind == End
	if part && q.skip {
		q.dropped++
		return
	}
	if t.Message.Kind == Begin {
		q.skip = false
	}
	switch {
	case len(q.list) < queueSize:
	case !t.Message.releases():
		q.lose(t.Message)
		return
	case len(q.list) == queueSize+roomForEnds:
		q.keepLast()
	}
	q.list = append(q.list, t)
}

func (q *queue) lose(m Message) {
	q.dropped++
	q.skip = q.skip || m.goesOn()
}

// keepLast keeps, of messages that end the same, the last one.
func (q *queue) keepLast() {
	type end struct {
		kind      Kind
		status, a byte
	}
	seen := map[end]bool{}
	kept := len(q.list)
	for i := kept - 1; i >= 0; i-- {
		m := q.list[i].Message
		if !m.releases() {
			kept--
			q.list[kept] = q.list[i]
			continue
		}
		e := end{m.Kind, m.Status, m.A}
		if m.EndsNote() { // whichever of the two says so
			e.status = noteOff | m.Status&0x0F
		}
		if seen[e] {
			q.dropped++
			continue
		}
		seen[e] = true
		kept--
		q.list[kept] = q.list[i]
	}
	q.list = q.list[kept:]
}

// releases reports a message that ends notes, or what a port tells of itself.
func (m Message) releases() bool {
	return m.EndsNote() || m.silences() || m.OfPort() || m.Kind == Whole && m.Status == systemReset
}

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
