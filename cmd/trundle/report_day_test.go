package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// A client signs the papers, so a verdict stands there with all that limits it, as
// the record of the day has it.
func TestAReportSaysWhatLimitsATest(t *testing.T) {
	dir := t.TempDir()
	day, to := filepath.Join(dir, "day.jsonl"), filepath.Join(dir, "rep")
	limits := []string{"2 chords answered otherwise at first", "not tried: the keys of great: the plug is in their place"}
	through := func(pair string, good bool) dayTest {
		loop := &loopAnswer{Pairs: []string{pair}, Outputs: 42, Of: 248}
		return dayTest{Test: "whole", On: "Saltmarsh Hall", In: "serial:a", Out: "serial:a", Good: good, Found: append([]string{loop.only()}, limits...)}
	}
	require.NoError(t, keepTest(day, "Ann", nil, through("X5:K1", false)))
	require.NoError(t, keepTest(day, "Ann", nil, through("X3:K1", true)))
	all := through("", true)
	all.Found = []string{"566 chords"}
	require.NoError(t, keepTest(day, "Ann", nil, all))

	var stdout, stderr bytes.Buffer
	code := run([]string{"report", "examples/saltmarsh/organ.yaml", "--relay", "examples/currents/relay.yaml", "--to", to, "--day", day}, nil, &stdout, &stderr)
	require.Equal(t, exitBad, code, stderr.String())
	read := func(name string) string {
		data, err := os.ReadFile(filepath.Join(to, name))
		require.NoError(t, err)
		return string(data)
	}
	page, lines := read("report.html"), read("day-1-lines.csv")
	tests := read("day-1-tests.csv")
	for _, s := range limits {
		require.Contains(t, page, s)
		require.Contains(t, tests, s)
		require.Contains(t, lines, s)
	}
	// What was found through one plug is not mended by a test through another, nor
	// is a test of all the same as one of a part.
	for _, s := range []string{"through the plug X5:K1 over serial:a: not good, only 42 of 248 outputs tried.",
		"through the plug X3:K1 over serial:a: good, only 42 of 248 outputs tried.", "whole of Saltmarsh Hall over serial:a: good."} {
		require.Contains(t, page, s)
	}
}
