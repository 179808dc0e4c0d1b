package main

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

const (
	loadedOrgan = "examples/saltmarsh/organ.yaml"
	loadedRelay = "examples/currents/relay.yaml"
)

// current runs the command on the example of currents.
func current(t *testing.T, args ...string) currentAnswer {
	var stdout, stderr strings.Builder
	args = append([]string{"current", loadedOrgan, "--relay", loadedRelay, "--format", "json"}, args...)
	require.Equal(t, exitGood, run(args, strings.NewReader(""), &stdout, &stderr), stderr.String()+stdout.String())
	requireValid(t, "current", stdout.String())
	var answer currentAnswer
	require.NoError(t, json.Unmarshal([]byte(stdout.String()), &answer))
	return answer
}

func TestTheExampleOfCurrentsKeepsWithinEveryLimit(t *testing.T) {
	require.Empty(t, current(t).Findings)
	require.Empty(t, current(t, "--size").Sizes.Left)
	require.Len(t, current(t, "--power-up").PowerUp.Fuses, 15)
	var stdout, stderr strings.Builder
	require.Equal(t, exitGood, run([]string{"check", loadedOrgan, "--relay", loadedRelay}, strings.NewReader(""), &stdout, &stderr), stderr.String())
	require.NotContains(t, stdout.String(), "warning")
}

// Every worst chord is taken by sound, and opens as many valves of 150 ohms as
// its amps are multiples of 13.5 V / 150 ohms: 14.5 V less the driver's one.
func TestEveryWorstChordIsOneThatSoundPlays(t *testing.T) {
	hangs := map[string]struct { // on each fuse: valves of a rank up to a number
		rank string
		to   int
	}{
		"X3": {"bourdon", 61}, "X4": {"pedal-principal", 44}, "X5": {"trombone", 44}, "X6": {"stopped-flute", 64}, "X7": {"viola", 64},
		"X9": {"choir-celeste", 61}, "X10": {"choir-principal", 61}, "X11": {"sesquialtera", 49}, "X12": {"oboe", 61},
	}
	answer := current(t)
	played, counted := 0, 0
	for _, line := range answer.Lines {
		for _, worst := range []currentWorst{line.Chord, line.Cluster} {
			args := []string{"sound", loadedOrgan, "--draw", strings.Join(answer.Draw, ","), "--format", "json"}
			for _, word := range worst.Play {
				args = append(args, "--play", word)
			}
			var stdout, stderr strings.Builder
			require.Equal(t, exitGood, run(args, strings.NewReader(""), &stdout, &stderr), stderr.String())
			played++
			on, known := hangs[line.ID]
			if line.Kind != "fuse" || !known {
				continue
			}
			var sound soundAnswer
			require.NoError(t, json.Unmarshal([]byte(stdout.String()), &sound))
			open := len(slices.DeleteFunc(sound.Valves, func(v openValve) bool { return v.Rank != on.rank || v.Number > on.to }))
			require.InDelta(t, float64(open)*13.5/150, float64(worst.Amps), 0.001, line.ID)
			require.GreaterOrEqual(t, worst.Bound, worst.Amps)
			counted++
		}
	}
	require.Greater(t, played, 60)
	require.Equal(t, 2*len(hangs), counted)
}
