package desk

import (
	"context"
	"io"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/gdamore/tcell/v2"
	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/midiio"
	"trundle/sim/gen"
)

// The figures that the desk is held to, on the large instrument of the other
// benchmarks at 200 by 60: from an event to the finished frame 5 milliseconds
// in the median, 16 in 99 of 100; and 1,000 MIDI messages a second that leave 30
// frames a second, of which none is lost.

// largeDesk is the large instrument with 100 stops and 10 couplers drawn and
// ten keys held.
func largeDesk(tb testing.TB) (*Model, *Terminal) {
	in := gen.Instrument(1, gen.Large)
	m := New(in, Options{Port: true})
	random := rand.New(rand.NewPCG(1, 0))
	for _, i := range random.Perm(len(in.Stops))[:100] {
		m.do(console.Draw(in.Stops[i].Control))
	}
	for _, i := range random.Perm(len(in.Couplers))[:10] {
		m.do(console.Draw(in.Couplers[i].Control))
	}
	for n := range console.Note(10) {
		m.do(console.KeyMoved(console.Key{Keyboard: int(n) % len(in.Keyboards), Note: 37 + 3*n}, 1, byHand))
	}
	m.Resize(200, 60)
	return m, terminalTo(tb, nowhere{}, 200, 60)
}

// terminalTo is a real terminal's screen whose bytes go somewhere.
func terminalTo(tb testing.TB, to io.Writer, w, h int) *Terminal {
	tb.Setenv("TERM", "xterm-256color")
	screen, err := tcell.NewTerminfoScreenFromTty(&fakeTTY{Writer: to, size: tcell.WindowSize{Width: w, Height: h}, closed: make(chan struct{})})
	require.NoError(tb, err)
	require.NoError(tb, screen.Init())
	tb.Cleanup(screen.Fini)
	return &Terminal{tcell: screen, colour: true}
}

type nowhere struct{}

func (nowhere) Write(p []byte) (int, error) { return len(p), nil }

// fakeTTY is a terminal that sends nothing.
type fakeTTY struct {
	io.Writer
	size   tcell.WindowSize
	closed chan struct{}
}

func (f *fakeTTY) Start() error                          { return nil }
func (f *fakeTTY) Stop() error                           { return nil }
func (f *fakeTTY) Drain() error                          { close(f.closed); return nil }
func (f *fakeTTY) NotifyResize(func())                   {}
func (f *fakeTTY) WindowSize() (tcell.WindowSize, error) { return f.size, nil }
func (f *fakeTTY) Read([]byte) (int, error)              { <-f.closed; return 0, io.EOF }
func (f *fakeTTY) Close() error                          { return nil }

// oneKey presses a key at even times, and lets it go at odd ones.
func oneKey(m *Model, i int) {
	m.do(console.KeyMoved(console.Key{Keyboard: i / 2 % 5, Note: console.Note(36 + i/2%61)}, 1-i%2, "bench"))
}

// One operation is an event of one kind and the frame that shows it.
func BenchmarkFrame(b *testing.B) {
	for name, act := range map[string]func(m *Model, i int){
		"key":    oneKey,
		"stop":   func(m *Model, i int) { m.work(Item{ControlItem, i % len(m.in.Stops), 0}) },
		"tutti":  func(m *Model, i int) { m.work(Item{Kind: TuttiItem}) },
		"cursor": func(m *Model, i int) { m.act([]Action{"left", "up", "next-group", "down"}[i%4]) },
		"piston": func(m *Model, i int) { // under the cursor, while keys go down
			m.moveTo(Item{ButtonItem, 0, 0})
			oneKey(m, i)
		},
		"why": func(m *Model, i int) {
			m.pane = WhyPane
			m.latch(console.Key{Keyboard: i % 5, Note: console.Note(36 + i%61)})
		},
	} {
		b.Run(name, func(b *testing.B) {
			m, terminal := largeDesk(b)
			g := NewGrid(200, 60)
			var times []time.Duration
			for i := 0; b.Loop(); i++ {
				began := time.Now()
				act(m, i)
				Draw(m, g)
				terminal.show(g, false)
				times = append(times, time.Since(began))
			}
			slices.Sort(times)
			b.ReportMetric(times[len(times)/2].Seconds()*1000, "ms-median")
			b.ReportMetric(times[len(times)*99/100].Seconds()*1000, "ms-p99")
		})
	}
}

// hear has a desk hear so many messages, 1,000 a second, and counts the frames
// it draws meanwhile.
func hear(tb testing.TB, m *Model, terminal *Terminal, messages int) (frames int, took time.Duration) {
	ours, theirs := midiio.Pair(1 << 16)
	clock := midiio.NewClock()
	heard := midiio.Listen(ours, clock)
	defer heard.Close()
	want := m.traffic.count + messages
	inputs, ended, all := make(chan Input), make(chan bool), make(chan struct{}, 1)
	show := func(g *Grid, light bool) {
		terminal.show(g, light)
		frames++
		if m.traffic.count == want {
			select {
			case all <- struct{}{}:
			default:
			}
		}
	}
	go func() {
		ended <- Run(context.Background(), m, Screen{Inputs: inputs, Show: show}, Outside{Clock: clock, Heard: heard})
	}()
	tick := time.NewTicker(time.Millisecond)
	defer tick.Stop()
	for i := range messages {
		<-tick.C
		_, err := theirs.Write([]byte{0x90 - byte(i%2)<<4, byte(36 + i/2%61), 64})
		require.NoError(tb, err)
	}
	<-all
	took = clock()
	inputs <- Input{Key: "F10"}
	<-ended
	return frames, took
}

func TestNoMessageOfAThousandASecondIsLost(t *testing.T) {
	m, terminal := largeDesk(t)
	m.pane = TrafficPane
	hear(t, m, terminal, 1000)
	require.Equal(t, 1000, m.traffic.count)
	require.Zero(t, m.traffic.faults)
}

// One operation is a second's messages.
func BenchmarkTraffic(b *testing.B) {
	m, terminal := largeDesk(b)
	m.pane = TrafficPane
	frames, took := 0, time.Duration(0)
	for b.Loop() {
		n, d := hear(b, m, terminal, 1000)
		frames, took = frames+n, took+d
	}
	b.ReportMetric(float64(frames)/took.Seconds(), "frames/s")
	b.ReportMetric(float64(m.traffic.faults), "faults")
}
