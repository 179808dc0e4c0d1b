package main

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestAMendedTableIsToldAsItsSchemaSays(t *testing.T) {
	var stdout, stderr strings.Builder
	exit := run([]string{"check", "examples/saltmarsh/organ.yaml", "--relay", "examples/saltmarsh-bad/relay.yaml",
		"--mend", "--to", filepath.Join(t.TempDir(), "mended.csv"), "--format", "json"}, strings.NewReader(""), &stdout, &stderr)
	require.Equal(t, exitBad, exit, stderr.String())
	require.Contains(t, stdout.String(), `"mended":{`)
	requireValid(t, "check", stdout.String())
}
