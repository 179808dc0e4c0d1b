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
					require.Equal(t, "add a row X3,1..20,valve,flute,1..20,,,", f.Fix)
				}
			}
		})
	}
}

// An instrument grew after its relay was planned: a stage more, a shoe more, and
// a swell engine of another code. A weighted one says 5 stages with 3 magnets, of
// which two are there; one wire without a number stands for all of them.
func TestWhatTheInstrumentGotMoreOfIsAskedFor(t *testing.T) {
	stage := edit{"organ.yaml", "    - [principal-8]\n", "    - [principal-8]\n    - [flute-4]\n"}
	for name, c := range map[string]struct {
		edits []edit
		want  []string
	}{
		"a stage":                        {[]edit{stage}, []string{"stage crescendo 3 is on no pin"}},
		"a stage of one contact for all": {[]edit{stage, {"wiring.csv", "S1,15..16,stage,roller,1..2,CS1,15..16,", "S1,15,stage,roller,,CS1,15,\nS1,16,spare,,,,,"}}, []string{}},
		"a shoe":                         {[]edit{{"organ.yaml", "  roller: {name", "  echo: {drives: [choir-box]}\n  roller: {name"}}, []string{"shoe echo is on no pin"}},
		"a weighted engine":              {[]edit{{"organ.yaml", "choir-box: {stages: 2}", "choir-box: {stages: 5, code: weighted}"}}, []string{"shade choir-box 3 is on no pin"}},
		"an engine of a magnet a stage":  {[]edit{{"organ.yaml", "choir-box: {stages: 2}", "choir-box: {stages: 5}"}}, []string{"shade choir-box 3..5 are on no pin"}},
	} {
		t.Run(name, func(t *testing.T) {
			in, relay, _ := bench(t, c.edits...)
			r, found := wiring.Load(relay, in)
			require.NotNil(t, r, "%v", found)
			list := []string{}
			for _, f := range wiring.Check(r, in) {
				list = append(list, f.Message)
			}
			require.Equal(t, c.want, list)
		})
	}
}
