package wiring_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console/finding"
	"trundle/sim/wiring"
)

// Whether a thing that decides no valve hangs where the plan has it: the rows of
// the two lists say so, and a proof of the valves cannot.
func TestWhatDecidesNoValveIsSolderedAsPlanned(t *testing.T) {
	none := []string{}
	flues, stages := "X3,1..20,valve,flute,1..20,,,\nX3,21..37,valve,bourdon,,,,\n", "S1,15..16,stage,roller,1..2,CS1,15..16,\n"
	for _, c := range []struct {
		name         string
		planned, old string // rows of the plan in the place of others, and of the solder
		solder       string
		want         []string
		fix          string
	}{
		{"as planned", "", "", "", none, ""},
		{"stages reversed", "", "S1,15..16,stage,roller,1..2", "S1,15..16,stage,roller,2..1", []string{
			"soldered.csv:21:17 soldered-otherwise: S1.15..16: stage crescendo 2..1 are soldered where stage crescendo 1..2 are planned",
		}, "solder S1,16..15,stage,crescendo,2..1, or write S1,15..16,stage,crescendo,2..1 in the plan if the plan is to follow"},
		{"the same stages in one row and in two", "", "S1,15..16,stage,roller,1..2,CS1,15..16,", "S1,16,stage,roller,2,CS1,16,\nS1,15,stage,roller,1,CS1,15,", none, ""},
		{"shades on other pins", "", "X2,15..16,shade,choir-box,1..2,CX2,15..16,\n" + flues + "X3,38..40,spare,,,,,", "X2,15..16,spare,,,,,\n" + flues + "X3,40,spare,,,,,\nX3,38..39,shade,choir-box,1..2,,,", []string{
			"soldered.csv:39:17 soldered-otherwise: X3.38..39: shade choir-box 1..2 are soldered where nothing is planned",
		}, "solder X2,15..16,shade,choir-box,1..2, or write X3,38..39,shade,choir-box,1..2 in the plan if the plan is to follow"},
		{"a magnet of wind and a tremulant exchanged", "", "X2,13,ventil,echo-wind,,CX2,13,\nX2,14,tremulant,tremulant,,CX2,14,", "X2,13,tremulant,tremulant,,CX2,13,\nX2,14,ventil,echo-wind,,CX2,14,", []string{
			"soldered.csv:33:17 soldered-otherwise: X2.13..14: tremulant tremulant and ventil echo-wind are soldered where ventil echo-wind and tremulant tremulant are planned",
		}, "solder X2,14,tremulant,tremulant and X2,13,ventil,echo-wind, or write X2,13,tremulant,tremulant and X2,14,ventil,echo-wind in the plan if the plan is to follow"},
		{"the contacts of wind and tremulant exchanged", "", "S1,12,ventil,echo-wind,,CS1,12,\nS1,13,tremulant,tremulant,,CS1,13,", "S1,12,tremulant,tremulant,,CS1,12,\nS1,13,ventil,echo-wind,,CS1,13,", []string{
			"soldered.csv:18:17 soldered-otherwise: S1.12..13: tremulant tremulant and ventil echo-wind are soldered where ventil echo-wind and tremulant tremulant are planned",
		}, "solder S1,13,tremulant,tremulant and S1,12,ventil,echo-wind, or write S1,12,tremulant,tremulant and S1,13,ventil,echo-wind in the plan if the plan is to follow"},
		{"a button and a shoe exchanged, apart", "", "S1,14,button,general-1,,CS1,14,\n" + stages + "S1,17,shoe,swell,,CS1,17,", "S1,17,button,general-1,,CS1,17,\n" + stages + "S1,14,shoe,swell,,CS1,14,", []string{
			"soldered.csv:20:14 soldered-otherwise: S1.17 14: button general-1 and shoe swell are soldered where shoe swell and button general-1 are planned",
		}, ""},
		{"a button twice, one of them unplanned", "S1,14,button,general-1,,CS1,14,both", "S1,19..20,spare,,,,,", "S1,19,button,general-1,,,,both\nS1,20,spare,,,,,", []string{
			"soldered.csv:24:14 soldered-otherwise: S1.19: button general-1 is soldered where nothing is planned",
		}, ""},
		{"one pin twice in the plan is said of the plan alone", "S1,16,button,general-1,,CS1,14,\nS1,14,spare,,,,,", "S1,16,button,general-1,,CS1,14,\nS1,14,spare,,,,,", "S1,14,button,general-1,,CS1,14,", []string{
			"wiring.csv:22:4 pin-used-twice: S1.16 is wired already",
		}, ""},
		{"shades that were not soldered at all", "", "X2,15..16,shade,choir-box,1..2,CX2,15..16,", "X2,15..16,spare,,,,,", []string{
			"soldered.csv item-not-wired: shade choir-box 1..2 are on no pin; the plan has X2.15..16 for them",
		}, "add a row X2,15..16,shade,choir-box,1..2,,,"},
		{"stages and a shoe that were not soldered", "", "S1,15..16,stage,roller,1..2,CS1,15..16,\nS1,17,shoe,swell,,CS1,17,", "S1,15..17,spare,,,,,", []string{
			"soldered.csv item-not-wired: shoe swell is on no pin; the plan has S1.17 for it",
			"soldered.csv item-not-wired: stage crescendo 1..2 are on no pin; the plan has S1.15..16 for them",
		}, ""},
		{"stops exchanged, which the proof names", "", "S1,4,stop,flute-8,,CS1,4,\nS1,5,stop,flute-4,,CS1,5,", "S1,4,stop,flute-4,,CS1,4,\nS1,5,stop,flute-8,,CS1,5,", none, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			edits := []edit{{"relay.yaml", "wiring: wiring.csv", "wiring: wiring.csv\nwired: soldered.csv"}}
			if c.planned != "" {
				edits = append(edits, edit{"wiring.csv", "S1,14,button,general-1,,CS1,14,", c.planned})
			}
			in, relay, _ := bench(t, edits...)
			soldered(t, relay, c.old, c.solder)
			r, found := wiring.Load(relay, in)
			require.NotNil(t, r, "%v", found)
			found = wiring.Check(r, in)
			require.ElementsMatch(t, c.want, said(found, nil))
			for _, f := range found {
				require.Equal(t, finding.Error, f.Severity)
			}
			if c.fix != "" {
				require.Equal(t, c.fix, found[0].Fix)
			}
		})
	}
}
