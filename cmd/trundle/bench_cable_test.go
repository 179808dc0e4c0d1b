package main

import (
	"context"
	"os"
	"path/filepath"
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

// What is answered and not yet heard when a test ends is taken, and stands in the
// transcript beside the release: the next program at the port does not meet it.
func TestWhatIsStillAnsweredIsTakenAtTheEnd(t *testing.T) {
	here, there := midiio.Pair(1 << 16)
	far := midiio.Listen(there, midiio.NewClock())
	clock := midiio.NewClock()
	_, stop := context.WithCancel(context.Background())
	c := &cable{in: midiio.Listen(here, clock), out: midiio.Talk(here, 0, clock), clock: clock, stop: stop}
	path := filepath.Join(t.TempDir(), "kept.txt")
	kept, err := newTranscript(path, nil)
	require.NoError(t, err)
	c.out.Send(midiio.NoteOn(1, 60, 64))
	_, err = there.Write([]byte{0x91, 24, 64})
	require.NoError(t, err)
	<-c.in.Ready()
	require.NoError(t, c.close(kept, midiio.NoteOn(16, 0, 0)))
	require.NoError(t, kept.close())
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Regexp(t, `^[0-9.]+ note-off 1 60/C4 64\n[0-9.]+ control-change 1 123 0\n[0-9.]+ control-change 1 120 0\n[0-9.]+ note-on 16 0/C-1 0\n# [0-9.]+ came note-on 2 24/C1 64\n$`, string(text))
	require.NoError(t, far.Close())
}
