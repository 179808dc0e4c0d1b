package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A change order on Saltmarsh Hall: nothing, then a label, then a tablet that
// is another by its id; and the answer as its schema says.
func TestDiffAnswersAsItsSchemaSays(t *testing.T) {
	const old = "examples/saltmarsh/organ.yaml"
	text, err := os.ReadFile(old)
	require.NoError(t, err)
	next := filepath.Join(t.TempDir(), "next.yaml")
	write := func(from, to string) {
		require.Contains(t, string(text), from)
		text = []byte(strings.ReplaceAll(string(text), from, to))
		require.NoError(t, os.WriteFile(next, text, 0o600))
	}
	require.NoError(t, os.WriteFile(next, text, 0o600))
	var stdout, stderr bytes.Buffer
	diff := func(args ...string) int {
		stdout.Reset()
		return run(append([]string{"diff", old, next, "--relay", "examples/saltmarsh/relay.yaml"}, args...), nil, &stdout, &stderr)
	}
	require.Equal(t, exitGood, diff("--format", "json"), stderr.String())
	requireValid(t, "diff", stdout.String())
	require.Contains(t, stdout.String(), `"verdict":"equal","reason":"","differences":[],"iron":[]`)

	write("name: Trumpet", "name: Tuba")
	require.Equal(t, exitGood, diff("--format", "json"), stderr.String())
	requireValid(t, "diff", stdout.String())
	require.Contains(t, stdout.String(), `"do":"re-tag"`)

	write("choir-unison-off", "choir-silent")
	require.Equal(t, exitBad, diff("--format", "json"), stderr.String())
	requireValid(t, "diff", stdout.String())
	require.Contains(t, stdout.String(), `{"what":"removed","kind":"unison-off","id":"choir-unison-off"`)
	require.Equal(t, exitBad, diff("--format", "sarif"), stderr.String())
	require.Contains(t, stdout.String(), `"ruleId":"sounds-removed"`)

	write("choir-to-great-8: {name: Choir to Great, division: choir, keyboard: great, carries: own", "choir-to-great-8: {name: Choir to Great, division: choir, keyboard: pedal, carries: own")
	require.Equal(t, exitBad, diff("--format", "json"), stderr.String())
	requireValid(t, "diff", stdout.String())
	require.Regexp(t, `"also":\{"play":\["pedal:`, stdout.String())
}
