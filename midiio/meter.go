package midiio

import (
	"sync"
	"time"
)

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
