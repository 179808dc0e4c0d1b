package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The pictures in README.md are what the program draws, and its papers.
func TestThePicturesAreWhatTheProgramDraws(t *testing.T) {
	t.Setenv("LC_ALL", "C") // which no picture depends on
	dir := t.TempDir()
	papers := filepath.Join(dir, "papers")
	for _, args := range [][]string{
		{"desk", "examples/saltmarsh/organ.yaml", "--script", "pictures/desk.log", "--picture", filepath.Join(dir, "desk.svg")},
		{"report", "examples/saltmarsh/organ.yaml", "--to", papers},
	} {
		var stdout, stderr strings.Builder
		require.Equal(t, exitGood, run(args, strings.NewReader(""), &stdout, &stderr), stderr.String())
	}
	for name, drawn := range map[string]string{"desk.svg": dir, "couplers.svg": papers} {
		want, err := os.ReadFile(filepath.Join(drawn, name))
		require.NoError(t, err)
		kept, err := os.ReadFile(filepath.Join("pictures", name))
		require.NoError(t, err)
		require.Equal(t, string(want), string(kept), "pictures/%s: draw it again, as the commands above do, and look at it", name)
	}
}
