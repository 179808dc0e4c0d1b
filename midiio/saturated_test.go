package midiio

import (
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Five minutes of 16 cables that are never idle, in virtual time. An hour is
// BenchmarkAnHourOfFullCables.
func TestFullCablesLoseNothing(t *testing.T) { saturate(t, 5*time.Minute) }

func BenchmarkAnHourOfFullCables(b *testing.B) {
	for b.Loop() {
		messages, grown := saturate(b, time.Hour)
		b.ReportMetric(float64(messages), "messages/op")
		b.ReportMetric(float64(grown), "B-held-more/op")
	}
}

// saturate sends as much as a cable carries over each of 16, from the queue of
// a sender to that of a reader, and counts that all arrives. It returns how many
// messages, and by how many bytes memory had grown from the first minute on.
func saturate(t testing.TB, length time.Duration) (messages, grown int) {
	const ports, chord = 16, 21 * DIN // ten note ons are 21 bytes
	var links [ports]Link
	var split [ports]Tokenizer
	var queues [ports]*Queue
	var bytes []byte
	put := func(port int, now time.Duration) {
		split[port].Feed(bytes, func(m Message) { queues[port].Put(Timed{now, m}) })
	}
	for i := range queues {
		links[i].ByteTime, queues[i] = DIN, NewQueue()
	}
	sent, got, settled := 0, 0, 0
	take := func(port int) {
		taken := queues[port].Take()
		require.Zero(t, taken.Dropped)
		got += len(taken.Messages)
	}
	for now := time.Duration(0); now < length; now += chord {
		for port := range ports {
			for key := range byte(10) {
				links[port].Send(now, NoteOn(1, 36+key, byte(sent%2*64)))
				sent++
			}
			bytes, _, _ = links[port].Due(now, bytes[:0])
			put(port, now)
			take(port)
		}
		if settled == 0 && now >= time.Minute {
			settled = heldBytes()
		}
	}
	for port := range ports {
		bytes, _, _ = links[port].Due(2*length, bytes[:0])
		put(port, 2*length)
		take(port)
		require.Zero(t, links[port].Backlog(2*length))
	}
	require.Equal(t, sent, got)
	grown = heldBytes() - settled
	require.Less(t, grown, 1<<20)
	return got, grown
}

// heldBytes is how much memory is in use.
func heldBytes() int {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int(m.HeapAlloc)
}
