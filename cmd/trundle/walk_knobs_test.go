package main

import (
	"bufio"
	"io"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/midiio"
	"trundle/midiio/mapping"
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
