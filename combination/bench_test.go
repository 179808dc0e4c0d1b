package combination_test

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/combination"
	"trundle/console"
	"trundle/sim/gen"
)

// The figures that the console is held to, on the large instrument of the
// benchmarks of package console: a key 2 microseconds in the mean; a general
// of 200 controls with ten keys held under 1 millisecond; the crescendo through
// 60 stages with ten keys held under 5 milliseconds in all; a log of 100,000
// events in under 2 seconds.

// large is the large instrument with a crescendo of 60 stages, which adds all
// stops and couplers.
func large() *console.Instrument {
	in := gen.Instrument(1, gen.Large)
	stages := make([]console.Stage, 60)
	n := len(in.Stops) + len(in.Couplers)
	for i := range n {
		s := &stages[i*len(stages)/n]
		if i < len(in.Stops) {
			s.Adds = append(s.Adds, in.Stops[i].Control)
		} else {
			s.Adds = append(s.Adds, in.Couplers[i-len(in.Stops)].Control)
		}
	}
	in.Crescendo = []console.Sequence{{Stages: stages}}
	return in
}

// played is the large instrument's console with 100 stops and 10 couplers
// drawn and ten keys held.
func played() (*console.Instrument, *combination.Console) {
	in := large()
	random := rand.New(rand.NewPCG(1, 0))
	c := combination.New(in, nil)
	c.Do(0, console.Event{Kind: console.ObeyEvent, Value: 1})
	for _, i := range random.Perm(len(in.Stops))[:100] {
		c.Do(0, console.Draw(in.Stops[i].Control))
	}
	for _, i := range random.Perm(len(in.Couplers))[:10] {
		c.Do(0, console.Draw(in.Couplers[i].Control))
	}
	for n := range console.Note(10) {
		c.Do(0, console.KeyMoved(console.Key{Keyboard: int(n) % len(in.Keyboards), Note: 37 + 3*n}, 1, ""))
	}
	return in, c
}

func buttonOf(in *console.Instrument, kind console.ButtonKind) int {
	return slices.IndexFunc(in.Combination.Buttons, func(b console.Button) bool { return b.Kind == kind })
}

// One operation is a key pressed or let go.
func BenchmarkKey(b *testing.B) {
	in, c := played()
	b.ReportAllocs()
	effects := 0
	for i := 0; b.Loop(); i++ {
		m := i / 2 % len(in.Keyboards)
		keys := in.Keyboards[m].Keys
		key := console.Key{Keyboard: m, Note: keys.From + console.Note(i/2%keys.Len())}
		effects += len(c.Do(0, console.KeyMoved(key, 1-i%2, "hand")))
	}
	b.ReportMetric(float64(effects)/float64(b.N), "effects/op")
}

// general is a console whose first general was captured with 200 controls
// drawn and which stands with another 200 drawn.
func general(obey bool) (in *console.Instrument, c *combination.Console, press console.Event, others []console.Event) {
	in, c = played()
	var movable []int
	for control := range in.Controls {
		if in.Controls[control].Style != console.Fixed {
			movable = append(movable, control)
		}
	}
	set, press := console.Press(buttonOf(in, console.Set)), console.Press(buttonOf(in, console.General))
	for i, control := range movable {
		if i < 200 {
			c.Do(0, console.Draw(control))
		} else {
			c.Do(0, console.Push(control))
		}
	}
	c.Do(0, set)
	c.Do(0, press)
	c.Do(0, console.Event{Kind: console.SavedEvent, Value: 1})
	c.Do(0, console.Release(buttonOf(in, console.Set)))
	if !obey {
		c.Do(0, console.Event{Kind: console.ObeyEvent})
	}
	for _, control := range movable[:200] {
		others = append(others, console.Push(control))
	}
	return in, c, press, others
}

// A general draws 200 knobs, which obey their coils at once.
func BenchmarkGeneral(b *testing.B) {
	_, c, press, others := general(true)
	b.ReportAllocs()
	for b.Loop() {
		b.StopTimer()
		for _, e := range others {
			c.Do(0, e)
		}
		b.StartTimer()
		c.Do(0, press)
	}
}

// A general draws 200 knobs whose contacts answer one after the other.
func BenchmarkGeneralOfRealKnobs(b *testing.B) {
	_, c, press, others := general(false)
	answers := make([]console.Event, 0, len(others))
	for _, e := range others {
		answers = append(answers, console.Draw(e.Index))
	}
	b.ReportAllocs()
	for b.Loop() {
		b.StopTimer()
		for _, e := range others {
			c.Do(0, e)
		}
		b.StartTimer()
		c.Do(0, press)
		for _, e := range answers {
			c.Do(0, e)
		}
	}
	require.Zero(b, c.Moving())
}

// The crescendo through 60 stages up is one operation; it closes untimed.
func BenchmarkCrescendo(b *testing.B) {
	_, c := played()
	b.ReportAllocs()
	for b.Loop() {
		for stage := 1; stage <= 60; stage++ {
			c.Do(0, console.Event{Kind: console.StageEvent, Value: stage})
		}
		b.StopTimer()
		c.Do(0, console.Event{Kind: console.StageEvent})
		b.StartTimer()
	}
}

// A log of 100,000 events, from its text to the text of its effects.
func BenchmarkLog(b *testing.B) {
	in := large()
	random := rand.New(rand.NewPCG(3, 0))
	text := []byte(console.LogHead + "\n0 obey on\n")
	for i := range 99_999 {
		e := console.Timed{At: time.Duration(i) * 10 * time.Millisecond}
		switch k := random.IntN(100); {
		case k < 90:
			m := random.IntN(len(in.Keyboards))
			keys := in.Keyboards[m].Keys
			e.Event = console.KeyMoved(console.Key{Keyboard: m, Note: keys.From + console.Note(random.IntN(keys.Len()))}, random.IntN(2), "")
		case k < 97:
			e.Event = console.Event{Kind: console.TouchEvent, Index: random.IntN(len(in.Controls))}
		case k < 99:
			e.Event = console.Event{Kind: console.StageEvent, Value: random.IntN(61)}
		default:
			e.Event = console.Press(random.IntN(len(in.Combination.Buttons)))
		}
		text = in.AppendTimed(text, e)
	}
	b.ReportAllocs()
	for b.Loop() {
		log, findings := console.ParseLog(in, "log", text)
		require.Empty(b, findings)
		c := combination.New(in, nil)
		var line []byte
		written := 0
		for _, e := range log {
			line = line[:0]
			for _, effect := range c.Do(e.At, e.Event) {
				line = in.AppendEffect(line, effect)
			}
			written += len(line)
		}
		b.ReportMetric(float64(written)/1e6, "MB-effects")
	}
}

// While the console is played, nothing is allocated.
func TestPlayingAllocatesNothing(t *testing.T) {
	in, c := played()
	key := console.Key{Keyboard: 0, Note: 60}
	stop := in.Stops[0].Control
	for name, events := range map[string][]console.Event{
		"a key":       {console.KeyMoved(key, 1, "hand"), console.KeyMoved(key, 0, "hand")},
		"a knob":      {console.Draw(stop), console.Push(stop)},
		"the tutti":   {{Kind: console.TuttiEvent, Value: 1}, {Kind: console.TuttiEvent}},
		"a crescendo": {{Kind: console.StageEvent, Value: 3}, {Kind: console.StageEvent}},
		"a shoe":      {console.MoveShoe(0, console.ShoeMost), console.MoveShoe(0, 0)},
	} {
		t.Run(name, func(t *testing.T) {
			require.Zero(t, testing.AllocsPerRun(100, func() {
				for _, e := range events {
					c.Do(0, e)
				}
			}))
		})
	}
}
