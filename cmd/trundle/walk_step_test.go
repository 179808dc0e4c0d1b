package main

import (
	"bufio"
	"fmt"
	"io"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/walk"
	"trundle/sim/wiring"
)

// organEnd is what hardware at the other end of a cable was told.
type organEnd struct {
	organ, console *mapping.End
	on             map[mapping.Thing]int // what is not at rest
}

func (o *organEnd) hear(messages []midiio.Message) {
	for _, m := range messages {
		for _, end := range []*mapping.End{o.organ, o.console} {
			for _, s := range end.Hear(midiio.Timed{Message: m}).Signals {
				if s.Value == 0 {
					delete(o.on, s.Thing)
				} else {
					o.on[s.Thing] = s.Value
				}
			}
		}
	}
}

// walkParts are the parts of a walk.
type walkParts struct {
	in    *console.Instrument
	m     *mapping.Map
	relay *wiring.Relay
	steps []walk.Step
}

func planSaltmarsh(t *testing.T) walkParts {
	return planned(t, "examples/saltmarsh/organ.yaml", "examples/saltmarsh/relay.yaml")
}

func planned(t *testing.T, organ, relay string) (f walkParts) {
	var err error
	f.in, f.m, err = loadMap(organ)
	require.NoError(t, err)
	f.relay, err = loadRelay(relay, f.in)
	require.NoError(t, err)
	f.steps, err = planWalk(organ, relay, f.in, f.m, f.relay)
	require.NoError(t, err)
	return f
}

// begin is a walk from its beginning, and the organ at the other end.
func (f walkParts) begin() (*walker, *organEnd) {
	k := newWalker(f.in, f.m, f.relay, walk.Begin(f.steps, nil))
	k.out = bufio.NewWriter(io.Discard)
	k.keep = func(walk.Step, walk.Answer) error { return nil }
	return k, &organEnd{f.m.End(mapping.AtOrgan, "a"), f.m.End(mapping.AtConsole, "b"), map[mapping.Thing]int{}}
}

// skipTo answers all steps before a phase.
func skipTo(tb require.TestingT, k *walker, phase walk.Phase) {
	for i, s := range k.w.Steps {
		if s.Phase < phase {
			require.NoError(tb, k.w.Answer(walk.Answer{Step: k.w.Steps[i].ID, Verdict: walk.Good}))
		}
	}
}

func TestAPulseEndsWhoeverWaits(t *testing.T) {
	k, far := planSaltmarsh(t).begin()
	skipTo(t, k, walk.Valves)
	for i := range k.w.Steps {
		k.w.Steps[i].Pulse = 150
	}
	k.begin(time.Second)
	far.hear(k.say())
	require.NotEmpty(t, far.on)
	at, due := k.due()
	require.True(t, due)
	require.Equal(t, 1150*time.Millisecond, at)
	require.NoError(t, k.tick(at-1))
	require.Empty(t, k.say())
	require.NoError(t, k.tick(at))
	far.hear(k.say())
	require.Empty(t, far.on)
	_, due = k.due()
	require.False(t, due)
}

func TestNothingLoudOrMovingIsToldBeforeTheChamberIsClear(t *testing.T) {
	k, far := planSaltmarsh(t).begin()
	skipTo(t, k, walk.Shades)
	k.begin(0)
	require.Empty(t, k.say())
	require.NoError(t, k.line(written{text: "good"}, 0))
	require.Empty(t, k.say(), "it was not tried, and stays")
	require.Equal(t, walk.Shades, k.w.Steps[k.at].Phase)
	require.NoError(t, k.line(written{text: "clear"}, 0))
	far.hear(k.say())
	require.NotEmpty(t, far.on)
}

// Wherever a walk ends, the organ is left as it was found: no key, no control, no
// line on, and every box shut.
func TestAWalkLeavesNothingOn(t *testing.T) {
	words := rapid.SampledFrom([]string{"good", "dead", "0A", "clear", "again", "back", "rest", "skip", "squeaks", "done", ""})
	phase := rapid.SampledFrom(walk.Phases())
	f, told := planSaltmarsh(t), false
	rapid.Check(t, func(t *rapid.T) {
		k, far := f.begin()
		skipTo(t, k, phase.Draw(t, "phase"))
		k.begin(0)
		for now := range rapid.IntRange(0, 25).Draw(t, "lines") {
			far.hear(k.say())
			told = told || len(far.on) > 0
			if k.ended {
				break
			}
			require.NoError(t, k.line(written{text: words.Draw(t, "line")}, time.Duration(now)))
			require.NoError(t, k.tick(time.Duration(now)))
		}
		far.hear(k.say())
		far.hear(k.leave())
		require.Empty(t, far.on)
	})
	require.True(t, told, "nothing was ever on")
}

func TestAReadingThatIsTakenIsKeptWithTheVerdictThatFollowsAndWithNoOther(t *testing.T) {
	k, _ := planSaltmarsh(t).begin()
	skipTo(t, k, walk.Valves)
	var kept []walk.Answer
	k.keep = func(_ walk.Step, a walk.Answer) error { kept = append(kept, a); return nil }
	k.begin(time.Second)
	for i, line := range []string{"0.3 A", "good", "good", "0.2 A", "rest"} {
		require.NoError(t, k.line(written{text: line}, time.Duration(10*i+10)*time.Second))
		require.NoError(t, k.tick(time.Duration(10*i+15)*time.Second))
	}
	require.Greater(t, len(kept), 3)
	require.InDelta(t, 0.3, *kept[0].Amps, 1e-12)
	require.Equal(t, walk.Good, kept[0].Verdict)
	require.Nil(t, kept[1].Amps)
	require.InDelta(t, 0.2, *kept[2].Amps, 1e-12)
	require.Nil(t, kept[3].Amps)
}

// What is asked of a line is answered in a word, and nothing is kept before.
func TestAQuestionAboutALineIsAnsweredInAWord(t *testing.T) {
	k, _ := planSaltmarsh(t).begin()
	skipTo(t, k, walk.Valves)
	var kept []walk.Answer
	k.keep = func(_ walk.Step, a walk.Answer) error { kept = append(kept, a); return nil }
	k.begin(time.Second)
	first := k.at
	for i := range k.w.Steps {
		k.w.Steps[i].Amps = &walk.Amps{Cold: 0.144, Hot: 0.125, One: 0.144, Low: 0.125}
	}
	say := func(i int, line string) {
		require.NoError(t, k.line(written{text: line}, time.Duration(10*i+10)*time.Second))
		require.NoError(t, k.tick(time.Duration(10*i+15)*time.Second))
	}
	for i, line := range []string{"1.44A", "no", "150", "ja gut"} {
		say(i, line)
		require.Empty(t, kept, line)
	}
	say(4, "yes")
	require.Equal(t, walk.Other, kept[0].Verdict)
	say(5, "150")
	say(6, "mA")
	require.InDelta(t, 0.15, *kept[1].Amps, 1e-12)
	say(7, "1.44A")
	say(8, "yes")
	require.Equal(t, walk.Bridged, kept[2].Verdict)
	say(9, fmt.Sprintf("go to %d", first+1))
	require.Equal(t, first, k.at)
	say(10, fmt.Sprintf("goto %d", len(k.w.Steps)))
	require.Equal(t, first, k.at, "its phase has not begun")
	require.Len(t, kept, 3)
}
