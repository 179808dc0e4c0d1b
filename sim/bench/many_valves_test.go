package bench

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/sim/fault"
	"trundle/sim/probe"
)

// manyValves is an organ of so many ranks: of 36 it has more valves than 16 channels
// have notes.
func manyValves(ranks int) string {
	var b strings.Builder
	b.WriteString("format: 1\nkeyboards: {manual: {kind: manual, keys: C2..C7}}\ndivisions: {manual: {keyboard: manual, notes: C2..C7, chest: unit}}\n")
	for _, line := range []string{"ranks:\n", "  r%d: {division: manual, family: flute, feet: 8, pipes: 61}\n", "stops:\n", "  s%[1]d: {division: manual, feet: 8, rank: r%[1]d}\n"} {
		if !strings.Contains(line, "%") {
			b.WriteString(line)
			continue
		}
		for n := range ranks {
			fmt.Fprintf(&b, line, n)
		}
	}
	return b.String()
}

// The default map has a message for every valve, however many there are, so that a
// relay can report them, and two that are exchanged are named.
func TestARelayOfMoreValvesThanNotesIsTriedWhole(t *testing.T) {
	c := plugInto(t, manyValves(36), Timing{})
	require.Greater(t, c.in.Valves, 16*128)
	plan := probe.New(c.in, c.relay)
	w := c.whole(plan, c.relay, Timing{})
	require.Empty(t, probe.Differ(probe.Simulate(plan, c.relay, c.in), w.Answers))
	sites := fault.Sites(c.relay, c.in)
	site := sites[slices.IndexFunc(sites, func(s fault.Site) bool { return s.Class == "pins-swapped" })]
	planted := site.Way(site.Count - 1)
	w = c.whole(plan, planted.Relay, Timing{})
	found := probe.Diagnose(plan, c.relay, c.in, w.Answers)
	require.True(t, slices.ContainsFunc(found, func(f fault.Fault) bool { return f.Class == planted.Class && f.Where == planted.Where }), "%s is not among %v", planted.Where, found)
}

// All that an organ has may open at once, each valve reported in three messages: that is
// no flood.
func TestAFullChordIsNoFlood(t *testing.T) {
	const ranks = 60
	c := plugInto(t, manyValves(ranks), Timing{})
	require.Greater(t, 3*c.in.Valves, mostHeard)
	var script strings.Builder
	for n := range ranks {
		fmt.Fprintf(&script, "draw s%d\n", n)
	}
	script.WriteString("press manual C2..C7\nexpect r59:61 on within 1s\n")
	require.Equal(t, " expect r59:61 on within 1s passed: \n", verdicts(c.do(c.script(script.String()), nothing)))
}

// What comes instead is told in words, without the messages that choose its parameters.
func TestWhatComesInsteadIsTheThingThatWasReported(t *testing.T) {
	c := plugInto(t, manyValves(2), Timing{})
	require.Equal(t, " expect r1:2 on within 20ms failed: r1:1 on came instead\n", verdicts(c.do(c.script("draw s1\npress manual C2\nexpect r1:2 on within 20ms\n"), nothing)))
}
