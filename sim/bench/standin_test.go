package bench

import (
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/plain"
	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/wiring"
)

const ms = time.Millisecond

// flutes is an instrument of one manual, up to its last stop, and reports the part of a
// map in which its valves are reported.
const (
	flutes = `format: 1
keyboards:
  manual: {kind: manual, keys: C2..C7}
divisions:
  manual: {keyboard: manual, notes: C2..C7, chest: unit}
ranks:
  flute: {division: manual, family: flute, feet: 8, pipes: 73}
  principal: {division: manual, family: principal, feet: 4, pipes: 61}
stops:
  flute-8: {division: manual, feet: 8, rank: flute}
  flute-4: {division: manual, feet: 4, rank: flute}
`
	reports = `
  keys: {manual: channel 1}
  valves:
    flute: {channel: 2, way: to-console}
    principal: {channel: 3, way: to-console}
`
)

// practice is the smallest instrument with a map.
const practice = flutes + `  principal-4: {division: manual, feet: 4, rank: principal}
midi:
  controls: {stops: notes from 0 on channel 16}` + reports

// cable is the console's end of a cable to a stand-in.
type cable struct {
	t     *testing.T
	in    *console.Instrument
	relay *wiring.Relay
	end   *mapping.End
	organ *StandIn
	now   time.Duration
	open  map[int]bool
	count map[int]int      // how often each valve turned over
	told  []mapping.Signal // of all else
}

func plug(t *testing.T, timing Timing) *cable { return plugInto(t, practice, timing) }

func plugInto(t *testing.T, text string, timing Timing) *cable {
	in, found := console.Parse("organ.yaml", []byte(text))
	require.Empty(t, found)
	m, found := mapping.Load(in)
	require.Empty(t, found)
	relay := planned(in)
	return &cable{t, in, relay, m.End(mapping.AtConsole, "organ"), NewStandIn(in, m, relay, timing), 0, map[int]bool{}, map[int]int{}, nil}
}

// planned is a relay that does what the instrument says, with a pin for each thing.
func planned(in *console.Instrument) *wiring.Relay {
	r := &wiring.Relay{Boards: []wiring.Board{{ID: "K1", Direction: wiring.Input, Pins: 999}, {ID: "X1", Direction: wiring.Output, Pins: 9999}}, Derived: true}
	used := map[int]int{}
	for _, item := range wiring.Needed(in) {
		on := 1
		if item.Given() {
			on = 0
		}
		used[on]++
		kind, name, _ := item.Words(in)
		r.Plan = append(r.Plan, wiring.Row{Pins: []wiring.Terminal{{On: on, Pin: used[on]}}, Kind: kind, Item: name, Items: []wiring.Item{item}})
	}
	r.Switch = wiring.Derive(r, in)
	return r
}

func (c *cable) say(messages []midiio.Message) {
	for _, m := range messages {
		c.organ.Hear(midiio.Timed{At: c.now, Message: m})
	}
}

// turn turns a control on or off at the console.
func (c *cable) turn(control, value int) {
	c.say(c.end.Say(nil, console.Effect{At: c.now, Kind: console.ControlEffect, Index: control, Value: value}))
}

// until runs the stand-in until a time, and hears what it says.
func (c *cable) until(at time.Duration) {
	for {
		next, due := c.organ.Next()
		if !due || next > at {
			break
		}
		c.now = max(c.now, next)
		for _, m := range c.organ.Tick(nil, c.now) {
			for _, s := range c.end.Hear(midiio.Timed{At: c.now, Message: m}).Signals {
				if s.Kind != mapping.Valve {
					c.told = append(c.told, s)
					continue
				}
				c.open[s.Index] = s.Value == 1
				c.count[s.Index]++
			}
		}
	}
	c.now = at
}

func (c *cable) key(n console.Note, contacts int) {
	c.say(c.end.Did(nil, c.now, "", console.KeyMoved(console.Key{Keyboard: 0, Note: n}, contacts, "")))
}

// The judge is the definition of what sounds (console/plain).
func TestAStandInAnswersWithWhatTheInstrumentSounds(t *testing.T) {
	c := plug(t, Timing{Scan: 2 * ms, Debounce: 4 * ms, Bounce: 3 * ms, Seed: 1})
	s := console.State{Drawn: make([]bool, len(c.in.Controls))}
	r := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		if r.IntN(4) == 0 {
			i := r.IntN(len(s.Drawn))
			if s.Drawn[i] = !s.Drawn[i]; s.Drawn[i] {
				c.turn(i, 1)
			} else {
				c.turn(i, 0)
			}
		} else {
			n := console.Note(36 + r.IntN(61))
			kept := s.Held[:0]
			held := false
			for _, h := range s.Held {
				if h.Note == n {
					held = true
				} else {
					kept = append(kept, h)
				}
			}
			if s.Held = kept; held {
				c.key(n, 0)
			} else {
				c.key(n, 1)
				s.Held = append(s.Held, console.Held{Key: console.Key{Keyboard: 0, Note: n}})
			}
		}
		c.until(c.now + 20*ms)
		want := plain.Open(c.in, s)
		for v := range c.in.Valves {
			require.Equal(t, want[v], c.open[v], "valve %d", v)
		}
	}
}

func TestDebounceKeepsABounceFromBeingHeard(t *testing.T) {
	for name, x := range map[string]struct {
		debounce time.Duration
		once     bool
	}{"debounced": {6 * ms, true}, "not debounced": {0, false}} {
		t.Run(name, func(t *testing.T) {
			c := plug(t, Timing{Scan: ms / 4, Debounce: x.debounce, Bounce: 5 * ms, Seed: 3})
			c.turn(0, 1)
			c.until(50 * ms)
			for n := range console.Note(20) {
				c.key(40+n, 1)
				c.until(c.now + 30*ms)
			}
			most := 0
			for _, n := range c.count {
				most = max(most, n)
			}
			require.Equal(t, x.once, most == 1, "%d", most)
		})
	}
}

func TestAFaultInTime(t *testing.T) {
	t.Run("late", func(t *testing.T) {
		c := plug(t, Timing{Late: 40 * ms})
		c.turn(0, 1)
		c.key(60, 1)
		c.until(30 * ms)
		require.Empty(t, c.open)
		c.until(45 * ms)
		require.Equal(t, map[int]bool{24: true}, c.open)
	})
	t.Run("stuck", func(t *testing.T) {
		c := plug(t, Timing{Stuck: []mapping.Thing{{Kind: mapping.Key, Index: 0, Note: 60}}})
		c.turn(0, 1)
		c.until(10 * ms)
		require.Equal(t, map[int]bool{24: true}, c.open)
	})
	t.Run("drops while a combination moves", func(t *testing.T) {
		c := plug(t, Timing{Drop: 50 * ms})
		c.turn(0, 1)
		c.key(60, 1)
		c.until(100 * ms)
		require.True(t, c.open[24])
		c.turn(2, 1)
		c.until(120 * ms)
		require.False(t, c.open[24], "the key is not read")
		c.until(200 * ms)
		require.True(t, c.open[24])
	})
}

// What was held when the cable went is let go, and when it is back all is said
// again that is open.
func TestACableThatIsBackIsToldWhatIsOpen(t *testing.T) {
	port := func(text string) midiio.Message {
		m, err := midiio.ParseMessage(text)
		require.NoError(t, err)
		return m
	}
	c := plug(t, Timing{Stuck: []mapping.Thing{{Kind: mapping.Key, Index: 0, Note: 40}}})
	c.turn(0, 1)
	c.key(60, 1)
	c.until(10 * ms)
	require.Equal(t, map[int]bool{4: true, 24: true}, c.open)
	c.say([]midiio.Message{port("port-gone")})
	c.until(20 * ms)
	require.Equal(t, map[int]bool{4: true, 24: false}, c.open)
	clear(c.count)
	c.say([]midiio.Message{port("port-back")})
	c.until(30 * ms)
	require.Equal(t, map[int]int{4: 1}, c.count)
}
