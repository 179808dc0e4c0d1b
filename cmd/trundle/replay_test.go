package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestEveryLineOfAReplayIsAsItsSchemaSays(t *testing.T) {
	log := filepath.Join(t.TempDir(), "log")
	require.NoError(t, os.WriteFile(log, []byte(`format: 1
0 obey on
0 draw great-principal-8
1 key great C4 down
1 shoe choir-shoe 9000
2 press set
2 press general-1
3 saved 1
4 press tutti
5 stage 99
`), 0o600))
	var stdout, stderr strings.Builder
	require.Equal(t, exitBad, run([]string{"replay", "examples/saltmarsh/organ.yaml", log, "--format", "json"}, strings.NewReader(""), &stdout, &stderr), "there is no stage 99: "+stderr.String())
	lines := 0
	for line := range strings.Lines(stdout.String()) {
		lines++
		requireValid(t, "effect", line)
	}
	require.Greater(t, lines, 12)
}
