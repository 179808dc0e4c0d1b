package main

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/bench"
	"trundle/sim/fault"
	"trundle/sim/probe"
	"trundle/sim/wiring"
)

// tryWhole plays a test to a stand-in in virtual time, from a time on.
func tryWhole(w *bench.Whole, organ *bench.StandIn, now time.Duration) time.Duration {
	for !w.Done() {
		for _, m := range w.Tick(nil, now) {
			organ.Hear(midiio.Timed{At: now, Message: m})
		}
		next, due := w.Next()
		if at, is := organ.Next(); is && (!due || at < next) {
			next = at
		}
		now = max(now, next)
		for _, m := range organ.Tick(nil, now) {
			w.Hear(midiio.Timed{At: now, Message: m})
		}
	}
	return now
}

// A chord that was read too soon, so that it seemed right, or that a loose contact
// disturbed, does not refute the mistake that all others show.
func TestOneDisturbedChordRefutesNoMistake(t *testing.T) {
	files := rightRelays(t)["new"]
	in, found := console.Load(files.organ)
	require.Empty(t, found)
	relay, found := wiring.Load(files.relay, in)
	require.Empty(t, found)
	m, found := mapping.Load(in)
	require.Empty(t, found)
	made, err := fault.Find(relay, in, "pin-open:X1.11")
	require.NoError(t, err)
	plan := probe.New(in, relay)
	want := probe.Simulate(plan, relay, in)
	organ := bench.NewStandIn(in, m, made.Relay, bench.Timing{})
	w := bench.NewWhole(in, m, plan, want, bench.Settle{Time: 30 * time.Millisecond})
	now := tryWhole(w, organ, 0)
	require.Empty(t, w.Why)
	wrong := probe.Differ(want, w.Answers)[0]
	for name, answer := range map[string]probe.Set{"read too soon": want[wrong.Step][wrong.Chord], "unsteady": nil} {
		x := &wholeTest{in: in, relay: relay, plan: plan, want: want, heard: w.Steady()}
		x.heard[wrong.Step][wrong.Chord] = answer
		var a wholeAnswer
		require.NoError(t, x.find(w, &a, func(w *bench.Whole) error { now = tryWhole(w, organ, now); return nil }), name)
		require.Len(t, x.found, 1, name)
		require.Empty(t, x.left, name)
		require.Equal(t, answer != nil, a.Late == 1, name)
		require.Equal(t, []string{"X1.11"}, pinNames(relay, x.found[0].Ways[0].Pins), name)
	}
}

// Two wires that are open in a new organ are both named, and the wiring is written
// as it was found; what of several is accounted for is counted by valves.
func TestTwoMistakesAreNamedTogether(t *testing.T) {
	a := wholeAnswer{Verdict: "different", Valves: make([]valveAnswer, 43), Leftover: []string{"flute:3"}, Mistakes: []mistakeAnswer{
		{Class: "pin-open", Where: "X1.11 open", Part: 1}, {Class: "pin-open", Where: "X2.3 open", Part: 2}}}
	require.Contains(t, a.found()[1], "2 mistakes account for 42 of 43 wrong valves; left: flute:3")
	a.Leftover = nil
	require.Contains(t, a.found()[1], "2 mistakes together account for all of it")
}
