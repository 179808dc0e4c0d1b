package main

import (
	"bufio"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/bench"
)

// A console of which the coils of two knobs are exchanged, and one that draws is
// dead, in a time of its own: what comes over the cable is enough to name them.
func TestKnobsAreTestedOverACable(t *testing.T) {
	in, m, err := loadMap("examples/saltmarsh/organ.yaml")
	require.NoError(t, err)
	knobs := []int{0, 1, 2, 3, 4, 5, 6, 7, 8}
	k := newKnobTest(in, m, nil, knobs)
	k.out = bufio.NewWriter(io.Discard)
	book, _, err := openDay(filepath.Join(t.TempDir(), "day.jsonl"), newYear)
	require.NoError(t, err)
	k.keep = func(r dayRound) error { return book.add(dayEntry{Kind: "round", Round: &r}) }
	far := m.End(mapping.AtConsole, "console")

	now := time.Duration(0)
	contact := func(c, value int) {
		for _, message := range far.Tell(nil, mapping.Signal{Thing: mapping.Thing{Kind: mapping.Control, Index: c}, Value: value}) {
			require.NoError(t, k.hear(midiio.Timed{At: now, Message: message}, now))
		}
	}
	k.begin(now)
	require.NoError(t, k.line(written{text: "clear"}, now))
	pulses := 0
	for !k.done() {
		if k.hand {
			for _, c := range knobs {
				contact(c, map[bool]int{false: 0, true: 1}[k.plan.Moves[k.move].On])
			}
			require.NoError(t, k.line(written{text: "done"}, now))
		}
		now, _ = k.due()
		require.NoError(t, k.tick(now))
		for _, message := range k.say() {
			for _, s := range far.Hear(midiio.Timed{At: now, Message: message}).Signals {
				knob := s.Index
				switch {
				case knob == 5 && s.Value == 1:
					continue
				case knob == 2 || knob == 7:
					knob = 9 - knob
				}
				pulses++
				contact(knob, s.Value)
			}
		}
	}
	require.Positive(t, pulses)
	id := func(c int) string { return in.Controls[c].ID }
	var what []string
	for _, f := range k.findings(nil) {
		what = append(what, f.What)
	}
	require.Equal(t, []string{id(2) + ", " + id(7) + ": the coils of the two, or their contacts, are exchanged", id(5) + ": its coil that draws it is dead"}, what)

	// What was moved and read is in the record, so that it can be decoded again.
	a, err := loadDay(book.file.Name())
	require.NoError(t, err)
	require.Len(t, a.Entries, 2+4*k.plan.Rounds(), "each way by hand, and of each round all back and some out")
	for i, e := range a.Entries {
		require.Equal(t, i+1, e.Round.Round)
		made := []string{}
		for c, is := range k.read[i] {
			if is {
				made = append(made, id(c))
			}
		}
		require.Equal(t, made, e.Round.Made)
	}
	require.NoError(t, book.close())

	// Where to look, and what the record shows of it.
	relay, err := loadRelay("examples/saltmarsh/relay.yaml", in)
	require.NoError(t, err)
	found := k.findings(relay)
	require.Equal(t, "N1.6", found[1].Pins[0], "the coil that draws it")
	require.NotEmpty(t, found[1].Legs)
	require.NoError(t, keepTest(book.file.Name(), "Ann", nil, dayTest{Test: knobsTest, On: "Saltmarsh Hall", Failures: found}))
	for _, form := range []string{"text", "html"} {
		var out, log strings.Builder
		require.Equal(t, exitBad, run([]string{"day", book.file.Name(), "--format", form}, nil, &out, &log), log.String())
		require.Contains(t, out.String(), "not as they should be: "+id(5), form)
		require.Contains(t, out.String(), "test knobs of Saltmarsh Hall: not good", form)
		require.Contains(t, out.String(), found[1].Legs[0], form)
	}
}

// A knob that the hand forgot has no fault: the move is the hand's until all are as they
// should be, or it says that they are.
func TestAKnobThatTheHandForgotIsAskedForAndNotBlamed(t *testing.T) {
	in, m, err := loadMap("examples/saltmarsh/organ.yaml")
	require.NoError(t, err)
	knobs := []int{0, 1, 2, 3} // of which the last is in before the hand draws all
	k := newKnobTest(in, m, nil, knobs)
	var shown strings.Builder
	k.out, k.keep = bufio.NewWriter(&shown), func(dayRound) error { return nil }
	far, now := m.End(mapping.AtConsole, "console"), time.Duration(0)
	contact := func(c, value int) {
		for _, message := range far.Tell(nil, mapping.Signal{Thing: mapping.Thing{Kind: mapping.Control, Index: c}, Value: value}) {
			require.NoError(t, k.hear(midiio.Timed{At: now, Message: message}, now))
		}
	}
	k.begin(now)
	require.NoError(t, k.line(written{text: "clear"}, now))
	forgot, asked := false, 0
	for !k.done() {
		on := k.plan.Moves[k.move].On
		switch {
		case k.hand && k.doubted:
			asked++
			contact(3, 1)
			require.NoError(t, k.line(written{text: "done"}, now))
		case k.hand:
			for _, c := range knobs {
				if forgot = forgot || on; c != 3 || !on {
					contact(c, map[bool]int{false: 0, true: 1}[on])
				}
			}
			require.NoError(t, k.line(written{text: "done"}, now))
		}
		now, _ = k.due()
		require.NoError(t, k.tick(now))
		for _, message := range k.say() {
			for _, s := range far.Hear(midiio.Timed{At: now, Message: message}).Signals {
				contact(s.Index, s.Value)
			}
		}
	}
	require.True(t, forgot)
	require.Equal(t, 1, asked)
	require.Empty(t, k.findings(nil))
	require.NoError(t, k.out.Flush())
	require.Contains(t, shown.String(), in.Controls[3].ID+" reads as in: draw what is not, then write done again; or go on, if all are\n")
}

// Where nothing comes back at all, it is not said of each knob that its contact is
// dead: the test ends after the first move that had to be told of.
func TestATestOfKnobsEndsWhereNothingComesBack(t *testing.T) {
	in, m, err := loadMap("examples/saltmarsh/organ.yaml")
	require.NoError(t, err)
	k := newKnobTest(in, m, nil, []int{0, 1, 2})
	var shown strings.Builder
	k.out = bufio.NewWriter(&shown)
	k.keep = func(dayRound) error { return nil }
	now := time.Duration(0)
	k.begin(now)
	require.NoError(t, k.line(written{text: "clear"}, now))
	require.NoError(t, k.line(written{text: "done"}, now))
	require.NoError(t, k.hear(midiio.Timed{At: now, Message: midiio.Message{Kind: midiio.Whole, Status: 0xF8}}, now), "a clock is no contact")
	for ended := false; !ended; ended, err = k.flush() {
		require.NoError(t, err)
		require.Less(t, k.move, 3, "pushed in, cancelled, drawn")
		now, _ = k.due()
		require.NoError(t, k.tick(now))
	}
	require.True(t, k.mute)
	require.False(t, k.done())
	require.Contains(t, shown.String(), "3 of 26: draw by their coils, 0 of 3 contacts made, not as they should be: ")
}

// fewKnobs is an instrument whose knobs arrive at once, so that a test of them
// takes little time.
const fewKnobs = `format: 1
instrument: Bench
keyboards: {manual: {kind: manual, keys: C4..E4}}
divisions: {manual: {keyboard: manual, notes: C4..E4, chest: unit}}
ranks: {flute: {division: manual, family: flute, feet: 8, from: C4, pipes: 5}}
stops:
  flute-8: {division: manual, feet: 8, rank: flute}
  flute-4: {division: manual, feet: 4, rank: flute}
  flute-2: {division: manual, feet: 2, rank: flute}
combination: {travel: 20}
`

const fewKnobsRelay = `format: 1
boards: {K1: {kind: input, pins: 5}, S1: {kind: input, pins: 3}, N1: {kind: output, pins: 6}, X1: {kind: output, pins: 5}}
cables: {CN1: {wires: 50, code: 25-pair}}
wiring: [wiring.csv]
`

const fewKnobsWiring = `board,pins,kind,item,notes,cable,wires
K1,1..5,key,manual,C4..E4,,
S1,1,stop,flute-8,,,
S1,2,stop,flute-4,,,
S1,3,stop,flute-2,,,
N1,1,knob-on,flute-8,,CN1,1
N1,2,knob-off,flute-8,,CN1,2
N1,3,knob-on,flute-4,,CN1,3
N1,4,knob-off,flute-4,,CN1,4
N1,5,knob-on,flute-2,,CN1,5
N1,6,knob-off,flute-2,,CN1,6
X1,1..5,valve,flute,1..5,,
`

// The knobs that a stand-in has, as they were soldered, are tried in a time of their own.
func TestWhatIsSolderedOtherwiseIsNamedAtAStandIn(t *testing.T) {
	soldered := strings.NewReplacer("N1,1,knob-on,flute-8", "N1,3,knob-on,flute-8", "N1,3,knob-on,flute-4", "N1,1,knob-on,flute-4", "N1,6,knob-off,flute-2,,CN1,6\n", "").Replace(fewKnobsWiring)
	for name, x := range map[string]struct {
		relay string
		stuck []mapping.Thing
		found []string
	}{
		"as planned":     {fewKnobsRelay, nil, nil},
		"otherwise":      {fewKnobsRelay + "wired: [wired.csv]\n", nil, []string{"flute-8, flute-4: the coils that draw the two are exchanged", "flute-2: its coil that cancels it is dead"}},
		"a contact dead": {fewKnobsRelay, []mapping.Thing{{Kind: mapping.Control, Index: 1}}, []string{"flute-4: its contact never changes: it never makes, or never breaks"}},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			file := func(name string) string { return filepath.Join(dir, name) }
			for name, text := range map[string]string{"organ.yaml": fewKnobs, "relay.yaml": x.relay, "wiring.csv": fewKnobsWiring, "wired.csv": soldered} {
				require.NoError(t, os.WriteFile(file(name), []byte(text), 0o600))
			}
			in, m, err := loadMap(file("organ.yaml"))
			require.NoError(t, err)
			relay, err := loadRelay(file("relay.yaml"), in)
			require.NoError(t, err)
			jambs := bench.NewJambs(in, m, relay, bench.Timing{Travel: 10 * time.Millisecond, Stuck: x.stuck})
			k := newKnobTest(in, m, relay, []int{0, 1, 2})
			k.out, k.keep = bufio.NewWriter(io.Discard), func(dayRound) error { return nil }
			now := time.Duration(0)
			k.begin(now)
			require.NoError(t, k.line(written{text: "clear"}, now))
			for !k.done() {
				if k.hand {
					jambs.Hand(k.plan.Moves[k.move].On, now)
					require.NoError(t, k.line(written{text: map[bool]string{false: "done", true: "go on"}[k.doubted]}, now))
				}
				for _, message := range k.say() {
					jambs.Hear(midiio.Timed{At: now, Message: message})
				}
				at, due := k.due()
				if next, is := jambs.Next(); is && (!due || next < at) {
					at = next
				}
				now = max(now, at)
				for _, message := range jambs.Tick(nil, now) {
					require.NoError(t, k.hear(midiio.Timed{At: now, Message: message}, now))
				}
				require.NoError(t, k.tick(now))
			}
			var found []string
			for _, f := range k.findings(relay) {
				found = append(found, f.What)
			}
			require.Equal(t, x.found, found)
		})
	}
}
