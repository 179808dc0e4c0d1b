package bench

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/midiio"
	"trundle/midiio/mapping"
)

// times runs a test in virtual time; through lets through what the stand-in says.
func (c *cable) times(load Load, through func(n int) int) *Times {
	test := c.timesBeside(load, through, func(*Times) (midiio.Message, time.Duration) { return midiio.Message{}, 0 })
	require.Empty(c.t, test.Why)
	return test
}

// timesBeside runs it while another says something too, every so often; 0 for never.
func (c *cable) timesBeside(load Load, through func(n int) int, other func(*Times) (says midiio.Message, every time.Duration)) *Times {
	m, _ := mapping.Load(c.in)
	test, err := NewTimes(c.in, m, load)
	require.NoError(c.t, err)
	n, said := 0, time.Duration(0)
	for !test.Done() {
		for _, message := range test.Tick(nil, c.now) {
			c.organ.Hear(midiio.Timed{At: c.now, Message: message})
			test.Left(c.now)
		}
		next, due := test.Next()
		if at, organ := c.organ.Next(); organ && (!due || at < next) {
			next = at
		}
		message, every := other(test)
		if every > 0 {
			next = min(next, max(c.now, said+every))
		}
		if c.now = max(c.now, next); every > 0 && c.now >= said+every {
			said = c.now
			test.Hear(midiio.Timed{At: c.now, Message: message})
		}
		for _, message := range c.organ.Tick(nil, c.now) {
			n++
			for range through(n) {
				test.Hear(midiio.Timed{At: c.now, Message: message})
			}
		}
	}
	return test
}

var short = Load{Trips: 20, Repeat: time.Second, Full: time.Second, Soak: 3 * time.Second, Seed: 5, ByteTime: midiio.DIN}

func every(int) int { return 1 }

func TestTimesAreThoseOfTheRelay(t *testing.T) {
	c := plug(t, Timing{Scan: ms, Debounce: 5 * ms, Late: 7 * ms})
	x := c.times(short, every)
	require.Len(t, x.Phases, 1+1+3+1+1)
	m, _ := mapping.Load(c.in)
	planned, err := NewTimes(c.in, m, short)
	require.NoError(t, err)
	require.InDelta(t, planned.Takes(0), c.now, float64(500*ms), "as foretold")
	trip := x.Phases[1]
	require.Equal(t, "round trip", trip.Name)
	require.Len(t, trip.Trips, 40)
	require.GreaterOrEqual(t, trip.Trips[0], 12*ms, "debounce and delay")
	require.LessOrEqual(t, trip.Trips[39], 14*ms, "and at most two scans")
	for _, p := range x.Phases[1:6] {
		require.Zero(t, p.Lost, p.Name)
		require.Zero(t, p.Doubled, p.Name)
		require.Equal(t, p.Asked, p.Heard, p.Name)
	}
	require.Equal(t, []int{16, 20, 24}, []int{x.Phases[2].Asked, x.Phases[3].Asked, x.Phases[4].Asked}, "on and off, so often a second")
	require.InDelta(t, 31250.0/20, float64(x.Phases[5].Sent), 65, "two bytes a message, ten bits a byte, for a second")
	require.Empty(t, x.Stuck)
	for _, e := range x.Errors {
		require.Zero(t, e, "virtual time is exact")
	}
}

func TestLostAndDoubledAnswersAreCounted(t *testing.T) {
	for name, x := range map[string]struct{ answer, times, lost, doubled int }{
		"the second is lost":           {2, 0, 1, 0},
		"the third is told twice":      {3, 2, 0, 1},
		"the fifth is told four times": {5, 4, 0, 3},
	} {
		t.Run(name, func(t *testing.T) {
			p := plug(t, Timing{}).times(Load{Trips: 5, ByteTime: midiio.DIN}, func(n int) int {
				if n == x.answer {
					return x.times
				}
				return 1
			}).Phases[1]
			require.Equal(t, x.lost, p.Lost)
			require.Equal(t, x.doubled, p.Doubled)
			require.Equal(t, 10, p.Asked)
		})
	}
}

// An answer may come when its key has been worked again already: keys are pressed
// every 83 ms twelve times a second, and every 78 ms on the full link.
func TestLateAnswersAreNotLost(t *testing.T) {
	x := plug(t, Timing{Late: 120 * ms}).times(Load{Trips: 1, Repeat: time.Second, Full: time.Second, ByteTime: midiio.DIN}, every)
	for _, p := range x.Phases[1:6] {
		require.Zero(t, p.Lost, p.Name)
		require.Zero(t, p.Doubled, p.Name)
		require.GreaterOrEqual(t, p.Trips[0], 120*ms, p.Name)
		require.LessOrEqual(t, p.Trips[len(p.Trips)-1], 122*ms, p.Name)
	}
}

func TestAStuckValveIsSeenAtTheEnd(t *testing.T) {
	x := plug(t, Timing{}).times(Load{Trips: 3, Soak: time.Second, Seed: 1, ByteTime: midiio.DIN}, every)
	require.Empty(t, x.Stuck)
	x = plug(t, Timing{}).times(Load{Trips: 1, ByteTime: midiio.DIN}, func(n int) int { return n % 2 })
	require.Len(t, x.Stuck, 1, "the end of the one note is lost")
}

// A full cable of 31,250 baud carries 1,041 messages of three bytes a second; none of
// these comes often. Whenever it begins, the test ends, and says why.
func TestAFloodOfAllSortsEndsTheTest(t *testing.T) {
	const each = 30 * time.Second / 31250
	for part, within := range []time.Duration{2 * time.Second, 3 * time.Second, 3 * time.Second, 3 * time.Second, 3 * time.Second, 20 * time.Second, 20 * time.Second} {
		c, n := plug(t, Timing{}), 0
		var began time.Duration
		x := c.timesBeside(short, every, func(x *Times) (midiio.Message, time.Duration) {
			if len(x.Phases) <= part {
				began = c.now
				return midiio.Message{}, 0
			}
			n++ // any valve, open and shut
			return midiio.NoteOn(2, byte(n/2%73), byte(64*(n%2))), each
		})
		require.Contains(t, x.Why, "it is flooded: ", "from part %d on", part)
		require.Len(t, x.Phases, part+1)
		require.Less(t, c.now-began, within, "from part %d on", part)
	}
}

// One valve that flutters for ever is no reason to wait for ever.
func TestAValveThatFluttersEndsTheTest(t *testing.T) {
	c, n := plug(t, Timing{}), 0
	x := c.timesBeside(short, every, func(*Times) (midiio.Message, time.Duration) {
		n++
		return midiio.NoteOn(2, 3, byte(64*(n%2))), 300 * ms
	})
	require.Contains(t, x.Why, "it is flooded: valves are still reported 1")
	require.Less(t, c.now, 20*time.Second)
}

// Contacts that bounce and are not debounced are measured, and no flood.
func TestManyAnswersAreNoFlood(t *testing.T) {
	load := Load{Trips: 20, Full: time.Second / 4, Soak: time.Second, Seed: 5, ByteTime: midiio.DIN}
	x := plug(t, Timing{Scan: ms / 4, Bounce: 5 * ms, Seed: 2}).times(load, every)
	require.Greater(t, x.Phases[1].Heard, 3*x.Phases[1].Asked/2)
	x = plug(t, Timing{}).times(load, func(int) int { return 5 })
	require.Equal(t, 5*x.Phases[5].Asked, x.Phases[5].Heard)
}

// Nearest rank: of 1..100 the 95th percentile is 95. The deviation of 2, 4, 4, 4,
// 5, 5, 7, 9 is 2 (a worked example of the population's standard deviation).
func TestPercentilesAndJitter(t *testing.T) {
	var list []time.Duration
	for i := range 100 {
		list = append(list, time.Duration(i+1))
	}
	for p, want := range map[float64]time.Duration{0: 1, 50: 50, 95: 95, 99: 99, 100: 100} {
		require.Equal(t, want, Percentile(list, p))
	}
	require.Zero(t, Percentile(nil, 50))
	require.Equal(t, time.Duration(2), Jitter([]time.Duration{2, 4, 4, 4, 5, 5, 7, 9}))
}
