package main

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Who reads it stands at an organ, at a terminal of 80 columns.
func TestTimesAreATableThatFitsTheTerminal(t *testing.T) {
	trips := []time.Duration{6 * time.Millisecond, 7 * time.Millisecond, 8 * time.Millisecond, 123 * time.Millisecond}
	a := timesAnswer{Seed: 1, Phases: []phaseAnswer{
		{Name: "round trip", Sent: 200, Asked: 200, Heard: 199, Lost: 1, Seconds: 20, Trip: spread(trips), trips: trips},
		{Name: "12 times a second", Sent: 72, Asked: 72, Heard: 72, Seconds: 3, Trip: spread(trips)},
		{Name: "soak", Sent: 1234, Heard: 12345, Seconds: 10},
	}}
	var text strings.Builder
	a.text(&text)
	for line := range strings.Lines(text.String()) {
		require.LessOrEqual(t, len(strings.TrimRight(line, " \n")), 80, line)
	}
	require.Contains(t, text.String(), "\n round trip         200  10   199    1       0 6.0  7.0 123.0 123.0 123.0   50.2\n", text.String())
	require.Contains(t, text.String(), "\n soak              1234 123 12345")
}
