package main

import (
	"context"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/midiio"
	"trundle/sim/bench"
)

// ticking sends a key every few milliseconds, and notes how late.
type ticking struct {
	at, every time.Duration
	left      int
	late      []time.Duration
}

func (t *ticking) Hear(midiio.Timed)           {}
func (t *ticking) Next() (time.Duration, bool) { return t.at, true }
func (t *ticking) Tick(to []midiio.Message, now time.Duration) []midiio.Message {
	if t.left > 0 && now >= t.at {
		t.late = append(t.late, now-t.at)
		to = append(to, midiio.NoteOn(1, 60, byte(t.left%2)))
		t.left--
		t.at = max(t.at+t.every, now)
	}
	return to
}

// BenchmarkSending is how late messages are sent, a thousand of them 5 ms apart.
func BenchmarkSending(b *testing.B) {
	for b.Loop() {
		here, there := midiio.Pair(1 << 16)
		far := midiio.Listen(there, midiio.NewClock())
		clock := midiio.NewClock()
		ctx, stop := context.WithCancel(context.Background())
		c := &cable{in: midiio.Listen(here, clock), out: midiio.Talk(here, 0, clock), clock: clock, ctx: ctx, stop: stop, exact: true}
		t := &ticking{at: clock() + 10*time.Millisecond, every: 5 * time.Millisecond, left: 1000}
		require.NoError(b, c.run(t, func() bool { return t.left == 0 }, func(midiio.Timed, bool) {}))
		slices.Sort(t.late)
		for _, p := range []float64{50, 95, 99, 100} {
			b.ReportMetric(float64(bench.Percentile(t.late, p))/float64(time.Microsecond), "us-"+map[float64]string{50: "median", 95: "95th", 99: "99th", 100: "most"}[p])
		}
		require.NoError(b, far.Close())
		stop()
	}
}
