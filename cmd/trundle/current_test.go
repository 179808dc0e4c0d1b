package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"
)

func TestCurrentsAreAsTheirSchemaSays(t *testing.T) {
	archive, err := txtar.ParseFile("testdata/script/current.txtar")
	require.NoError(t, err)
	folder := t.TempDir()
	for _, f := range archive.Files {
		require.NoError(t, os.WriteFile(filepath.Join(folder, f.Name), f.Data, 0o600))
	}
	for name, c := range map[string]struct {
		exit int
		args []string
	}{
		"a relay within its limits": {exitGood, []string{"relay.yaml"}},
		"a relay over them":         {exitBad, []string{"over.yaml"}},
		"sizes":                     {exitGood, []string{"over.yaml", "--size"}},
		"the first power-up":        {exitGood, []string{"knobs.yaml", "--power-up"}},
		"a state besides, in steps": {exitGood, []string{"knobs.yaml", "--draw", "flute-8", "--play", "great:C2", "--group", "1", "--gap", "20"}},
	} {
		t.Run(name, func(t *testing.T) {
			var stdout, stderr strings.Builder
			args := append([]string{"current", filepath.Join(folder, "organ.yaml"), "--format", "json", "--relay", filepath.Join(folder, c.args[0])}, c.args[1:]...)
			require.Equal(t, c.exit, run(args, strings.NewReader(""), &stdout, &stderr), stderr.String())
			require.Empty(t, stderr.String())
			requireValid(t, "current", stdout.String())
		})
	}
}

func TestNothingIsNotLessThanNothing(t *testing.T) {
	for value, want := range map[rounded]string{-1e-9: "0", 0: "0", 1e-9: "0", 0.0804: "0.08", -0.0016: "-0.002"} {
		text, err := value.MarshalJSON()
		require.NoError(t, err)
		require.Equal(t, want, string(text))
	}
	require.Equal(t, "0.000", amps(-1e-9))
}
