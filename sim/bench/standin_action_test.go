package bench

import (
	"errors"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"trundle/combination"
	"trundle/console"
	"trundle/console/plain"
	"trundle/midiio"
	"trundle/midiio/mapping"
)

// pistons is an instrument with a combination action, whose tablets have lamps.
const pistons = flutes + `  principal-4: {division: manual, feet: 4, rank: principal, style: lit}
couplers:
  octave: {division: manual, shift: 12, keys: C2..C6, style: lit}
shoes: {crescendo: {drives: crescendo}}
crescendo: {stages: [[flute-8], [flute-4], [principal-4]]}
tutti: {adds: [flute-8, principal-4], drops: [octave]}
combination:
  memories: 2
  travel: 100
  buttons:
    general-1: {kind: general}
    general-2: {kind: general}
    manual-1: {kind: divisional, division: manual}
    set: {kind: set}
    cancel: {kind: cancel}
    tutti: {kind: tutti}
    flute: {kind: reversible, control: flute-8}
    up: {kind: memory-up}
    down: {kind: memory-down}
    next: {kind: next}
    toe-1: {repeats: general-1, toe: true}
midi:
  controls: {all: notes from 0 on channel 16}
  buttons: {all: notes from 64 on channel 16}
  crescendo: controller 16 on channel 16` + reports

// button is a button of the instrument by its id.
func (c *cable) button(id string) int {
	b := slices.IndexFunc(c.in.Combination.Buttons, func(b console.Button) bool { return b.ID == id })
	require.GreaterOrEqual(c.t, b, 0, id)
	return b
}

func (c *cable) hold(button int)  { c.say(c.end.Did(nil, c.now, "player", console.Press(button))) }
func (c *cable) letGo(button int) { c.say(c.end.Did(nil, c.now, "player", console.Release(button))) }

// press presses buttons, the first of which are held until the last is let go of,
// and lets all knobs arrive.
func (c *cable) press(ids ...string) {
	c.told = nil
	for _, id := range ids {
		c.hold(c.button(id))
	}
	for _, id := range ids {
		c.letGo(c.button(id))
	}
	c.until(c.now + time.Second)
}

func said(kind mapping.Kind, index, value int) mapping.Signal {
	return mapping.Signal{Thing: mapping.Thing{Kind: kind, Index: index}, Value: value}
}

// What was set comes back: knobs, lamps and the pipes of the key that is held. The
// order is that of a console: coils and lamps at once, knobs when they have moved.
func TestAPistonMovesKnobsAndTheirPipes(t *testing.T) {
	c := plugInto(t, pistons, Timing{Debounce: 5 * ms, Bounce: 3 * ms, Travel: 40 * ms, Seed: 1})
	c.turn(0, 1)
	c.turn(2, 1)
	c.press("set", "general-1")
	c.turn(0, 0)
	c.turn(2, 0)
	c.key(60, 1)
	c.until(c.now + 100*ms)
	require.False(t, c.open[24])
	c.press("toe-1")
	require.Equal(t, []mapping.Signal{said(mapping.Control, 2, 1), said(mapping.Button, c.button("general-1"), 1), said(mapping.Control, 0, 1), said(mapping.Button, c.button("flute"), 1)}, c.told)
	require.Equal(t, map[int]bool{24: true, 73 + 24: true}, only(c.open))
	c.press("cancel")
	require.Equal(t, []mapping.Signal{said(mapping.Control, 2, 0), said(mapping.Button, c.button("general-1"), 0), said(mapping.Control, 0, 0), said(mapping.Button, c.button("flute"), 0)}, c.told)
	require.Empty(t, only(c.open))
}

func only(open map[int]bool) map[int]bool {
	list := map[int]bool{}
	for v, is := range open {
		if is {
			list[v] = true
		}
	}
	return list
}

// Whatever is worked, knobs and lamps come to stand as the combination action of
// package combination has them, and pipes as the definition of what sounds says.
func TestAStandInDoesWhatItsConsoleDoes(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		c := plugInto(t, pistons, Timing{Debounce: 5 * ms, Bounce: 3 * ms, Travel: 40 * ms, Seed: 1})
		model := combination.New(c.in, nil)
		do := func(events ...console.Event) {
			for _, e := range events {
				for _, f := range slices.Clone(model.Do(c.now, e)) {
					if f.Kind == console.SaveEffect {
						model.Do(c.now, console.Event{Kind: console.SavedEvent, Value: f.Value})
					}
				}
			}
		}
		do(console.Event{Kind: console.ObeyEvent, Value: 1})
		stands := make([]bool, len(c.in.Controls)) // as the far end has them
		lamps := make([]bool, len(c.in.Combination.Buttons))
		for range rapid.IntRange(1, 40).Draw(r, "steps") {
			c.told = nil
			switch rapid.IntRange(0, 4).Draw(r, "what") {
			case 0:
				control := rapid.IntRange(0, len(stands)-1).Draw(r, "control")
				if stands[control] = !stands[control]; stands[control] {
					c.turn(control, 1)
					do(console.Draw(control))
				} else {
					c.turn(control, 0)
					do(console.Push(control))
				}
				c.until(c.now + time.Second)
			case 1:
				n := console.Note(rapid.IntRange(36, 96).Draw(r, "key"))
				key := console.KeyMoved(console.Key{Keyboard: 0, Note: n}, rapid.IntRange(0, 1).Draw(r, "contacts"), "")
				c.key(n, key.Value)
				do(key)
				c.until(c.now + time.Second)
			case 2:
				stage := rapid.IntRange(0, 3).Draw(r, "stage")
				c.say(c.end.Say(nil, console.Effect{Kind: console.StageEffect, Value: stage}))
				do(console.Event{Kind: console.StageEvent, Value: stage})
				c.until(c.now + time.Second)
			case 3:
				b := rapid.IntRange(0, len(lamps)-1).Draw(r, "button")
				do(console.Press(b), console.Release(b))
				c.press(c.in.Combination.Buttons[b].ID)
			case 4:
				b, set := rapid.IntRange(0, len(lamps)-1).Draw(r, "captures"), c.button("set")
				do(console.Press(set), console.Press(b), console.Release(set), console.Release(b))
				c.press("set", c.in.Combination.Buttons[b].ID)
			}
			for _, s := range c.told {
				switch s.Kind {
				case mapping.Control:
					stands[s.Index] = s.Value == 1
				case mapping.Button:
					lamps[s.Index] = s.Value == 1
				}
			}
			on := make([]bool, len(stands))
			for i, is := range stands {
				on[i] = model.Machine().On(i)
				require.Equal(t, model.Machine().Drawn(i), is, c.in.Controls[i].ID)
			}
			for b, is := range lamps {
				if c.in.Combination.Buttons[b].Repeats == console.None { // one lamp is told of
					require.Equal(t, model.Lamp(b), is, c.in.Combination.Buttons[b].ID)
				}
			}
			in, s := model.Machine().Reference()
			s.Drawn = on
			for v, open := range plain.Open(in, s) {
				require.Equal(t, open, c.open[v], "valve %d", v)
			}
		}
	})
}

// A knob that does not follow is pulsed again, and told of by name; the organ says
// nothing of it, since its contact did not move.
func TestAKnobThatIsStuckIsToldOf(t *testing.T) {
	c := plugInto(t, pistons, Timing{Travel: 40 * ms, Stuck: []mapping.Thing{{Kind: mapping.Control, Index: 0}}})
	var says []string
	c.organ.Says = func(text string) { says = append(says, text) }
	c.key(60, 1)
	c.until(c.now + time.Second)
	c.press("cancel")
	require.Empty(t, c.told)
	require.Equal(t, []string{"flute-8 does not go off: its contact did not move"}, says)
	require.Equal(t, map[int]bool{24: true}, only(c.open))
	c.press("general-2")
	require.Equal(t, "general-2 was never set in memory 1: nothing moves", says[1])
	c.press("up")
	require.Equal(t, "memory 2", says[2])
}

func TestARelayThatReadsNoKeysWhileACombinationMoves(t *testing.T) {
	for name, x := range map[string]struct {
		drop time.Duration
		turn int
	}{"reads them": {0, 1}, "drops them": {60 * ms, 3}} {
		t.Run(name, func(t *testing.T) {
			c := plugInto(t, pistons, Timing{Travel: 40 * ms, Drop: x.drop})
			c.turn(0, 1)
			c.press("set", "general-1")
			c.turn(1, 1)
			c.press("set", "general-2")
			c.key(60, 1)
			c.until(c.now + time.Second)
			require.True(t, c.open[24])
			clear(c.count)
			c.press("general-1") // flute-4 goes in, flute-8 stays
			require.True(t, c.open[24])
			require.Equal(t, map[int]int{24: x.turn - 1, 36: 1}, with(c.count, 24, 36))
		})
	}
}

// with is some of a count, zeros too.
func with(count map[int]int, valves ...int) map[int]int {
	list := map[int]int{}
	for _, v := range valves {
		list[v] = count[v]
	}
	return list
}

func TestCapturesAreKeptOrNotCounted(t *testing.T) {
	c := plugInto(t, pistons, Timing{})
	var kept *combination.Memories
	var failure error
	c.organ.Keep(nil, func(m *combination.Memories) error { kept = m; return failure })
	var says []string
	c.organ.Says = func(text string) { says = append(says, text) }
	c.turn(0, 1)
	c.press("set", "general-1")
	slot := console.Slot{Memory: 1, Button: c.button("general-1")}
	require.Equal(t, []int{0}, kept.Combination(slot).On)
	failure = errors.New("the disk is full")
	c.turn(1, 1)
	c.press("set", "general-1")
	require.Equal(t, []string{"captured 1/general-1", "not saved, nothing changed: the disk is full"}, says)
	c.press("cancel")
	c.press("general-1")
	require.Contains(t, c.told, said(mapping.Control, 0, 1))
	require.NotContains(t, c.told, said(mapping.Control, 1, 1))

	other := plugInto(t, pistons, Timing{}) // what was kept is there the next day
	other.organ.Keep(kept, nil)
	other.press("general-1")
	require.Contains(t, other.told, said(mapping.Control, 0, 1))
}

// Who comes back knows nothing: it is told how knobs and lamps stand, and what is open.
func TestWhoIsBackIsToldHowKnobsStand(t *testing.T) {
	c := plugInto(t, pistons, Timing{})
	c.turn(2, 1)
	c.press("set", "general-1")
	c.press("cancel")
	c.press("general-1")
	for _, text := range []string{"port-gone", "port-back"} {
		m, err := midiio.ParseMessage(text)
		require.NoError(t, err)
		c.told = nil
		c.say([]midiio.Message{m})
		c.until(c.now + 20*ms)
	}
	require.Equal(t, []mapping.Signal{said(mapping.Stage, 0, 0), said(mapping.Control, 0, 0), said(mapping.Control, 1, 0), said(mapping.Control, 2, 1), said(mapping.Control, 3, 0),
		said(mapping.Button, c.button("general-1"), 1)}, c.told)
}

// One pushes a piston, and a stop knob too: what a script means by it is told.
func TestAButtonIsPressedAndNotPushed(t *testing.T) {
	c := plugInto(t, pistons, Timing{})
	m, _ := mapping.Load(c.in)
	_, found := ReadScript("a.bench", files(map[string]string{"a.bench": "draw flute-8\npush general-1"}), c.in, m)
	require.Len(t, found, 1)
	require.Equal(t, "a.bench:2:1: general-1 is a button: write press general-1, and release general-1", found[0].Place.String()+": "+found[0].Message)
}
