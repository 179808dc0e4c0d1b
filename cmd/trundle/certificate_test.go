package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestCertificatesAreWrittenAsTheirSchemaSays(t *testing.T) {
	for relay, want := range map[string]struct {
		exit    int
		verdict string
	}{
		"saltmarsh":     {exitGood, "equal"},
		"saltmarsh-bad": {exitBad, "different"},
	} {
		t.Run(relay, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "certificate")
			var stdout, stderr bytes.Buffer
			exit := run([]string{"check", "examples/saltmarsh/organ.yaml", "--relay", "examples/" + relay + "/relay.yaml", "--certificate", dir, "--format", "json"}, nil, &stdout, &stderr)
			require.Equal(t, want.exit, exit, stderr.String())
			requireValid(t, "check", stdout.String())
			index, err := os.ReadFile(filepath.Join(dir, "index.json"))
			require.NoError(t, err)
			requireValid(t, "certificate", string(index))
			var written struct {
				Verdict        string
				Counterexample *struct{ File string }
			}
			require.NoError(t, json.Unmarshal(index, &written))
			require.Equal(t, want.verdict, written.Verdict)
			require.Equal(t, want.verdict == "different", written.Counterexample != nil)
		})
	}
}
