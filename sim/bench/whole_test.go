package bench

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/fault"
	"trundle/sim/gen"
	"trundle/sim/probe"
	"trundle/sim/wiring"
)

// whole tries a relay in virtual time.
func (c *cable) whole(plan probe.Plan, r *wiring.Relay, timing Timing) *Whole {
	m, _ := mapping.Load(c.in)
	c.organ = NewStandIn(c.in, m, r, timing)
	w := NewWhole(c.in, m, plan, probe.Simulate(plan, c.relay, c.in), Settle{Time: 30 * ms})
	c.try(w, func() bool { return true })
	require.Empty(c.t, w.Why)
	return w
}

// try does a test in virtual time; what comes while it is not heard is lost.
func (c *cable) try(w *Whole, heard func() bool) {
	for !w.Done() {
		for _, message := range w.Tick(nil, c.now) {
			c.organ.Hear(midiio.Timed{At: c.now, Message: message})
		}
		next, due := w.Next()
		if at, organ := c.organ.Next(); organ && (!due || at < next) {
			next = at
		}
		c.now = max(c.now, next)
		for _, message := range c.organ.Tick(nil, c.now) {
			if heard() {
				w.Hear(midiio.Timed{At: c.now, Message: message})
			}
		}
	}
}

func TestAWholeRelayAnswersOverACableAsItDoesInSimulation(t *testing.T) {
	c := plug(t, Timing{})
	plan := probe.New(c.in, c.relay)
	w := c.whole(plan, c.relay, Timing{Debounce: 5 * ms, Bounce: 3 * ms, Seed: 2})
	require.Equal(t, plan.Presses(), w.Pressed())
	require.Empty(t, probe.Differ(probe.Simulate(plan, c.relay, c.in), w.Answers))
	require.Empty(t, probe.Diagnose(plan, c.relay, c.in, w.Answers))
}

// Of every class that can be made in this relay the first, the middle and the
// last mistake: what comes over the cable names it, or others that give the same
// answers to the whole plan; none is taken for a good relay unless it is one.
func TestEveryClassOfMistakeIsFoundOverACable(t *testing.T) {
	c := plug(t, Timing{})
	plan := probe.New(c.in, c.relay)
	want := probe.Simulate(plan, c.relay, c.in)
	tried, named := map[string]bool{}, 0
	for _, s := range fault.Sites(c.relay, c.in) {
		if tried[s.Class] {
			continue
		}
		tried[s.Class] = true
		f := s.Way(s.Count / 2)
		w := c.whole(plan, f.Relay, Timing{Bounce: 1 * ms, Debounce: 2 * ms})
		require.Equal(t, probe.Simulate(plan, f.Relay, c.in), w.Answers, f.Where)
		if len(probe.Differ(want, w.Answers)) == 0 {
			continue // a mistake that nothing depends on
		}
		var found []string
		for _, x := range probe.Diagnose(plan, c.relay, c.in, w.Answers) {
			found = append(found, x.Class+" "+x.Where)
		}
		require.Contains(t, found, f.Class+" "+f.Where)
		named++
	}
	require.Greater(t, named, 12)
}

// One that is slower than is waited for is not taken for one that is wrong.
func TestARelayThatIsLateIsWaitedFor(t *testing.T) {
	c := plug(t, Timing{})
	plan := probe.New(c.in, c.relay)
	w := c.whole(plan, c.relay, Timing{Late: 100 * ms})
	require.Empty(t, probe.Differ(probe.Simulate(plan, c.relay, c.in), w.Answers))
}

// One that does not answer one chord, for once, is tried again there, with patience
// in the end; that it was late is told.
func TestARelayThatIsWrongForOnceIsTriedAgain(t *testing.T) {
	c := plug(t, Timing{})
	m, _ := mapping.Load(c.in)
	plan := probe.New(c.in, c.relay)
	want := probe.Simulate(plan, c.relay, c.in)
	w := NewWhole(c.in, m, plan, want, Settle{Time: 30 * ms})
	c.try(w, func() bool { return w.Pressed() != 10 })
	require.Empty(t, probe.Differ(want, w.Answers))
	require.Zero(t, w.Unsteady)
	require.Positive(t, w.Late) // what was lost may make the next chord wrong too
	require.Equal(t, plan.Presses()+(1+tries)*w.Late, w.Pressed())
}

// One that answers a chord now so, now otherwise is not taken for one that was
// late, however the last try comes out.
func TestARelayWithALooseContactIsUnsteady(t *testing.T) {
	for name, x := range map[string]struct {
		bad      []int // tries in which it is silent: the first, the second, and those with patience
		unsteady bool
	}{
		"in the first and a later try": {[]int{0, 3}, true},
		"in the first and the last":    {[]int{0, 4}, true},
		"in the first alone":           {[]int{0}, false},
		"in all but the second":        {[]int{0, 2, 3, 4}, false}, // it is wrong, and was right for once
	} {
		t.Run(name, func(t *testing.T) {
			c := plug(t, Timing{})
			m, _ := mapping.Load(c.in)
			plan := probe.New(c.in, c.relay)
			w := NewWhole(c.in, m, plan, probe.Simulate(plan, c.relay, c.in), Settle{Time: 30 * ms})
			last := spot{len(plan.Steps) - 1, len(plan.Steps[len(plan.Steps)-1].Chords) - 1}
			tried := func() (n int) {
				for _, at := range w.todo[:w.next] {
					if at == last {
						n++
					}
				}
				return n
			}
			c.try(w, func() bool { return !w.pressed || w.todo[w.next] != last || !slices.Contains(x.bad, tried()) })
			require.Equal(t, x.unsteady, w.Unsteady > 0)
			require.Equal(t, !x.unsteady, w.Late > 0)
		})
	}
}

func TestAWholeTestThatBreaksOff(t *testing.T) {
	c := plug(t, Timing{})
	m, _ := mapping.Load(c.in)
	plan := probe.New(c.in, c.relay)
	for text, why := range map[string]string{"port-gone": "the port went away", "no-status 3C": "what came is no message: no-status 3C", "port-overrun": "the system lost messages"} {
		w := NewWhole(c.in, m, plan, probe.Simulate(plan, c.relay, c.in), Settle{Time: 30 * ms})
		w.Tick(nil, 0)
		message, err := midiio.ParseMessage(text)
		require.NoError(t, err)
		// Running status: what was on its way to a program before means nothing to this.
		w.Hear(midiio.Timed{Message: midiio.Message{Kind: midiio.NoStatus, A: 0x3C}})
		require.False(t, w.Done())
		w.Hear(midiio.Timed{Message: midiio.NoteOff(2, 1)})
		w.Hear(midiio.Timed{Message: message})
		require.True(t, w.Done())
		require.Contains(t, w.Why, why)
		require.Empty(t, w.Tick(nil, 50*ms))
	}
	w := NewWhole(c.in, m, plan, probe.Simulate(plan, c.relay, c.in), Settle{Time: 30 * ms})
	w.Tick(nil, 0)
	for range often {
		w.Hear(midiio.Timed{At: listening, Message: midiio.NoteOn(2, 1, 64)})
	}
	require.Contains(t, w.Why, "it is flooded: note-on 2 1/C#-1 64 came")
	w = NewWhole(c.in, m, plan, probe.Simulate(plan, c.relay, c.in), Settle{Time: 30 * ms})
	for now := 0 * ms; !w.Done(); now += 10 * ms {
		require.Less(t, now, 2*restless)
		w.Tick(nil, now)
		w.Hear(midiio.Timed{At: now, Message: midiio.NoteOn(2, 1, 64)})
		w.Hear(midiio.Timed{At: now, Message: midiio.NoteOff(2, 1)})
		if now < listening {
			now = listening
		}
	}
	require.Contains(t, w.Why, "did not fall silent")
}

// At 31,250 baud a byte takes 320 microseconds (MIDI 1.0, hardware); under
// running status a note is two bytes. The controls that are pushed in first leave
// while the test listens.
func TestHowLongATestTakesIsForetold(t *testing.T) {
	c := plug(t, Timing{})
	m, _ := mapping.Load(c.in)
	key := func(n console.Note) console.Held { return console.Held{Key: console.Key{Note: n}} }
	plan := probe.Plan{Steps: []probe.Step{{Draw: []int{0}, Chords: [][]console.Held{{key(60), key(62)}, {key(60)}}}, {Draw: []int{0, 1}, Chords: [][]console.Held{{key(60)}}}, {Chords: [][]console.Held{{key(64)}}}}}
	got := Foretell(plan, probe.Simulate(plan, c.relay, c.in), Settle{Time: 30 * ms}, m, midiio.DIN)
	moves := 3 + // a stop is drawn and two keys are pressed; two valves open meanwhile
		1 + // a key is let go, and its valve shuts
		1 + // an octave is drawn, and its valve opens
		4 // both are pushed in, one key is let go and another pressed; two valves shut
	require.Equal(t, listening+4*(Answering+30*ms)+2*time.Duration(moves)*midiio.DIN, got)
	silent := probe.Plan{Steps: []probe.Step{{Chords: [][]console.Held{{key(60)}}}}}
	require.Equal(t, listening+30*ms+2*midiio.DIN, Foretell(silent, probe.Simulate(silent, c.relay, c.in), Settle{Time: 30 * ms}, m, midiio.DIN))

	c.in.MIDI = nil // the default map: a stop and two keys are notes, and two valves parameters of six bytes each
	m, _ = mapping.Load(c.in)
	loud := probe.Plan{Steps: plan.Steps[:1]}
	loud.Steps[0].Chords = loud.Steps[0].Chords[:1]
	require.Equal(t, listening+Answering+30*ms+2*6*midiio.DIN, Foretell(loud, probe.Simulate(loud, c.relay, c.in), Settle{Time: 30 * ms}, m, midiio.DIN))
}

func TestHowLongASilenceIsTheEndOfAnAnswer(t *testing.T) {
	usual := func(silence time.Duration) (list silences) {
		for range known {
			list = list.and(silence)
		}
		return list.and(40 * ms) // for once
	}
	s, fixed := Settle{Time: 50 * ms}, Settle{Time: 50 * ms, Fixed: true}
	for name, x := range map[string]struct{ got, want time.Duration }{
		"as given, until the relay is known":         {s.enough(true, true, usual(7 * ms)[:known-1]), 50 * ms},
		"then twice the usual within an answer":      {s.enough(true, true, usual(7*ms)), 16 * ms},
		"but not more than is given":                 {s.enough(true, true, usual(30*ms)), 50 * ms},
		"as given, where nothing was to change":      {s.enough(true, false, usual(7*ms)), 50 * ms},
		"of a wrong one five times what is given":    {s.enough(false, true, nil), 250 * ms},
		"less, once the relay is known":              {s.enough(false, true, usual(7*ms)), 80 * ms},
		"but not less than is given":                 {s.enough(false, false, usual(1*ms)), 50 * ms},
		"always the same where that is asked":        {fixed.enough(true, true, usual(7*ms)), 50 * ms},
		"and of a wrong one five times as long then": {fixed.enough(false, true, usual(7*ms)), 250 * ms},
	} {
		t.Run(name, func(t *testing.T) { require.Equal(t, x.want, x.got) })
	}
	require.Len(t, append(silences{}, usual(1)...).and(1).and(1), known+3)
	var long silences
	for range 1000 {
		long = long.and(1)
	}
	require.Len(t, long, recent)
}

// A relay may say from time to time how all stands: that is no part of an answer.
func TestARelayThatRepeatsHowItStandsIsNotWaitedFor(t *testing.T) {
	c := plug(t, Timing{})
	m, _ := mapping.Load(c.in)
	plan := probe.New(c.in, c.relay)
	w := NewWhole(c.in, m, plan, probe.Simulate(plan, c.relay, c.in), Settle{Time: 30 * ms})
	w.Tick(nil, 0)
	for now := listening; w.Pressed() == 0; now += 10 * ms {
		require.Less(t, now, time.Second)
		w.Tick(nil, now)
		w.Hear(midiio.Timed{At: now, Message: midiio.NoteOn(2, 1, 0)})
	}
}

// From a chord of a code to its complement all keys move, to any other half of
// them: with the complement of each behind it three quarters do.
func TestChordsFollowEachOtherInFewMoves(t *testing.T) {
	c := plug(t, Timing{})
	plan := probe.New(c.in, c.relay)
	count := func(p probe.Plan) (n int) {
		var held down
		for _, s := range p.Steps {
			for _, chord := range s.Chords {
				n += differ(held, downOf(chord))
				held = downOf(chord)
			}
		}
		return n
	}
	ordered := InFewMoves(plan)
	require.Equal(t, plan.Presses(), ordered.Presses())
	for i, s := range plan.Steps {
		require.Equal(t, s.Draw, ordered.Steps[i].Draw)
		require.ElementsMatch(t, s.Chords, ordered.Steps[i].Chords)
	}
	require.Less(t, float64(count(ordered)), 0.75*float64(count(plan)))
}

// BenchmarkWholeLarge is the test of the largest relay: how many chords, how long
// they take on a MIDI cable, and how soon a mistake in it is named.
func BenchmarkWholeLarge(b *testing.B) {
	in := gen.Instrument(1, gen.Large)
	relay := gen.Design(1, in, gen.AnyOptions(1))
	m, _ := mapping.Load(in)
	for b.Loop() {
		began := time.Now()
		plan := InFewMoves(probe.New(in, relay))
		b.ReportMetric(time.Since(began).Seconds(), "s-planned")
		want := probe.Simulate(plan, relay, in)
		b.ReportMetric(float64(plan.Presses()), "chords")
		b.ReportMetric(float64(plan.OneByOne()), "one-by-one")
		b.ReportMetric(Foretell(plan, want, Settle{Time: 50 * ms}, m, midiio.DIN).Minutes(), "minutes")
		sites := fault.Sites(relay, in)
		site := sites[slices.IndexFunc(sites, func(s fault.Site) bool { return s.Class == "pins-swapped" })]
		planted := site.Way(site.Count / 2)
		got := probe.Simulate(plan, planted.Relay, in)
		began = time.Now()
		found := probe.Diagnose(plan, relay, in, got)
		b.ReportMetric(time.Since(began).Seconds(), "s-named")
		require.True(b, slices.ContainsFunc(found, func(f fault.Fault) bool { return f.Where == planted.Where }), planted.Where)
	}
}
