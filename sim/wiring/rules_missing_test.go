package wiring_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/sim/wiring"
)

// What was not soldered is said once: with its row, and neither of its pins nor
// of the plan again.
func TestWhatIsMissingIsSaidOnce(t *testing.T) {
	for name, c := range map[string]struct {
		plan, wired []string // beginnings of rows that are left out
		want        []string
	}{
		"all is soldered":             {nil, nil, []string{}},
		"a run that was not soldered": {nil, []string{"X3,1..20"}, []string{"wired.csv item-not-wired: valve flute 1..20 are on no pin; the plan has X3.1..20 for them"}},
		"a contact that was not":      {nil, []string{"S1,6,"}, []string{"wired.csv item-not-wired: stop bourdon-16 is on no pin; the plan has S1.6 for it"}},
		"what the plan lacks too": {[]string{"X3,1..20"}, []string{"X3,1..20"}, []string{
			"relay.yaml:9:3 pin-unlisted: X3.1..20 are in no row of the plan, nor of what was soldered",
			"wiring.csv item-not-wired: valve flute 1..20 are on no pin"}},
		"soldered nowhere, planned on two boards": {nil, []string{"X3,1..20", "X3,21..37"}, []string{
			"wired.csv item-not-wired: valve flute 1..20 are on no pin; the plan has X3.1..20 for them",
			"wired.csv item-not-wired: valve bourdon 1..17 are on no pin; the plan has X3.21..37 for them"}},
	} {
		t.Run(name, func(t *testing.T) {
			in, relay, marked := bench(t, edit{"relay.yaml", "wiring: wiring.csv", "wiring: wiring.csv\nwired: wired.csv"})
			path := filepath.Join(filepath.Dir(relay), "wiring.csv")
			data, err := os.ReadFile(path)
			require.NoError(t, err)
			without := func(name string, rows []string) {
				var kept []string
				for _, line := range strings.SplitAfter(string(data), "\n") {
					out := false
					for _, row := range rows {
						out = out || strings.HasPrefix(line, row)
					}
					if !out {
						kept = append(kept, line)
					}
				}
				require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(relay), name), []byte(strings.Join(kept, "")), 0o600))
			}
			without("wiring.csv", c.plan)
			without("wired.csv", c.wired)
			r, found := wiring.Load(relay, in)
			require.NotNil(t, r, "%v", found)
			found = wiring.Check(r, in)
			require.ElementsMatch(t, c.want, said(found, marked))
			for _, f := range found {
				if f.Rule == "item-not-wired" && strings.Contains(f.Message, "the plan has X3.1..20") {
					require.Equal(t, "add a row X3,1..20,valve,flute,1..20", f.Fix)
				}
			}
		})
	}
}
