package combination_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"trundle/combination"
	"trundle/console"
	"trundle/sim/gen"
)

// mechanics is the coils and contacts of real knobs: a pulse moves its knob
// after a while, or, never twice in a row, not at all.
type mechanics struct {
	c       *combination.Console
	now     time.Duration
	pending []arrival
	missed  map[int]bool
}

type arrival struct {
	at      time.Duration
	control int
	drawn   bool
}

func (m *mechanics) do(t *rapid.T, e console.Event) {
	for _, effect := range m.c.Do(m.now, e) {
		switch effect.Kind {
		case console.StuckEffect:
			require.Fail(t, "a knob that had its second pulse is not stuck")
		case console.CoilEffect:
			miss := !m.missed[effect.Index] && rapid.IntRange(0, 4).Draw(t, "misses") == 0
			m.missed[effect.Index] = miss
			if !miss {
				wait := time.Duration(rapid.IntRange(1, console.DefaultTravel-1).Draw(t, "takes")) * time.Millisecond
				m.pending = append(m.pending, arrival{effect.At + wait, effect.Index, effect.Value == 1})
			}
		}
	}
}

// until lets everything happen that happens by then, in its order.
func (m *mechanics) until(t *rapid.T, then time.Duration) {
	for {
		first := -1
		for i, a := range m.pending {
			if a.at <= then && (first < 0 || a.at < m.pending[first].at) {
				first = i
			}
		}
		due, ok := m.c.Next()
		switch {
		case ok && due <= then && (first < 0 || due < m.pending[first].at):
			m.now = due
			m.do(t, console.Event{Kind: console.TickEvent})
		case first >= 0:
			a := m.pending[first]
			m.pending = append(m.pending[:first], m.pending[first+1:]...)
			m.now = a.at
			if a.drawn {
				m.do(t, console.Draw(a.control))
			} else {
				m.do(t, console.Push(a.control))
			}
		default:
			m.now = then
			return
		}
	}
}

// However knobs take their time and miss a pulse, and however fast buttons
// follow each other: in the end they stand where knobs would that obey at once.
func TestRealKnobsEndWhereObedientOnesDo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := gen.Instrument(rapid.Uint64Range(0, 1<<20).Draw(t, "seed"), gen.Tiny)
		obedient := newPlayer(t, in)
		for range 4 {
			obedient.registration()
			obedient.capture(obedient.piston(console.General, console.Divisional))
		}
		obedient.do(console.Press(buttonOf(in, console.Cancel)))
		real := &mechanics{c: combination.New(in, obedient.c.Memories()), missed: map[int]bool{}}
		for c, drawn := range obedient.drawn() { // those that no button moves
			if drawn {
				real.do(t, console.Draw(c))
			}
		}

		for range rapid.IntRange(1, 12).Draw(t, "presses") {
			press := console.Press(obedient.piston(console.General, console.Divisional, console.Cancel, console.Reversible))
			obedient.do(press)
			real.do(t, press)
			real.until(t, real.now+time.Duration(rapid.IntRange(0, 900).Draw(t, "pause"))*time.Millisecond)
		}
		real.until(t, real.now+time.Hour)
		require.Zero(t, real.c.Moving())
		for c, drawn := range obedient.drawn() {
			require.False(t, real.c.Stuck(c), "control %d", c)
			require.Equal(t, drawn, real.c.Machine().Drawn(c), "control %d", c)
		}
	})
}
