package waiver_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/waiver"
	"trundle/sim/wiring"
)

// waivers reads the waivers of a relay file; other files may stand beside it.
func waivers(t *testing.T, text string, beside ...string) ([]wiring.Waiver, string, []finding.Finding) {
	t.Helper()
	folder := t.TempDir()
	write := func(name, text string) {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600))
	}
	write("relay.yaml", "format: 1\nboards: {X1: {kind: output, pins: 1}}\nwiring: [wiring.csv]\n"+text)
	write("wiring.csv", "board,pins,kind,item\nX1,1,spare,\n")
	if len(beside) > 0 {
		write("waivers.yaml", beside[0])
	}
	r, found := wiring.Load(filepath.Join(folder, "relay.yaml"), &console.Instrument{})
	if r == nil {
		return nil, folder, found
	}
	require.Empty(t, found)
	return r.Waivers, folder, nil
}

func TestAWaiverSetsAsideJustWhatItNames(t *testing.T) {
	at := func(line int, rule, message string) finding.Finding {
		return finding.Finding{Rule: rule, Severity: finding.Error, Place: finding.Place{File: "wiring.csv", Line: line, Column: 4}, Message: message}
	}
	found := []finding.Finding{
		at(4, "pin-unlisted", "X3.14 is in no row"),
		at(5, "pin-unlisted", "X3.38..40 are in no row"),
		at(6, "item-not-wired", "valve bourdon 20 is on no pin"),
		at(7, "item-not-wired", "coupler great-to-pedal is on no pin"),
	}
	for name, c := range map[string]struct {
		waiver string
		want   []int // lines that are set aside
	}{
		"a pin":                        {"{rule: pin-unlisted, at: X3.14, reason: r}", []int{4}},
		"not a pin that begins so":     {"{rule: pin-unlisted, at: X3.1, reason: r}", nil},
		"a run of pins":                {"{rule: pin-unlisted, at: X3.38..40, reason: r}", []int{5}},
		"not one pin for a whole run":  {"{rule: pin-unlisted, at: X3.38, reason: r}", nil},
		"a valve":                      {`{rule: item-not-wired, at: "bourdon:20", reason: r}`, []int{6}},
		"an item":                      {"{rule: item-not-wired, at: great-to-pedal, reason: r}", []int{7}},
		"not an item whose name it is": {"{rule: item-not-wired, at: pedal, reason: r}", nil},
		"a line":                       {`{rule: item-not-wired, at: "wiring.csv:6", reason: r}`, []int{6}},
		"not another rule at the line": {`{rule: pin-unlisted, at: "wiring.csv:6", reason: r}`, nil},
		"not a line of another file":   {`{rule: item-not-wired, at: "wired.csv:6", reason: r}`, nil},
	} {
		t.Run(name, func(t *testing.T) {
			list, folder, _ := waivers(t, "waivers:\n  - "+c.waiver+"\n")
			here := make([]finding.Finding, len(found))
			for i, f := range found {
				f.File = filepath.Join(folder, f.File)
				here[i] = f
			}
			left, waived := waiver.Apply(here, list)
			var lines []int
			for _, w := range waived {
				require.Equal(t, "r", w.Reason)
				require.Equal(t, 5, w.By.Line)
				lines = append(lines, w.Line)
			}
			require.Equal(t, c.want, lines)
			if c.want == nil {
				require.Equal(t, "waiver-unused", left[len(left)-1].Rule)
				require.Equal(t, finding.Warning, left[len(left)-1].Severity)
				left = left[:len(left)-1]
			}
			require.Len(t, left, len(found)-len(waived))
		})
	}
}

func TestWhatIsWrongWithAWaiverIsAFinding(t *testing.T) {
	differs := finding.Finding{Rule: "logic-differs", Severity: finding.Error, Message: "1 valve opens otherwise"}
	swapped := finding.Finding{Rule: "pins-swapped", Severity: finding.Error, Message: "X3.1 and X3.2 are exchanged"}
	unlisted := finding.Finding{Rule: "pin-unlisted", Severity: finding.Warning, Message: "X3.1 is in no row"}
	found := []finding.Finding{differs, swapped, unlisted}
	for text, want := range map[string]string{
		"{rule: logic-differs, at: valve, reason: r}":  "waiver-refused",
		"{rule: pins-swapped, at: X3.1, reason: r}":    "waiver-refused",
		"{rule: no-meaning, at: X3.1, reason: r}":      "waiver-refused",
		"{rule: waiver-unused, at: X3.1, reason: r}":   "waiver-refused",
		"{rule: pin-unlisted, at: X3.1}":               "waiver-without-reason",
		"{rule: pin-unlisted, at: X3.1, reason: '  '}": "waiver-without-reason",
		"{rule: pin-unlisted, at: X3.9, reason: r}":    "waiver-unused",
		"{rule: pin-unlistet, at: X3.1, reason: r}":    "waiver-unused",
	} {
		list, _, _ := waivers(t, "waivers: ["+text+"]\n")
		left, waived := waiver.Apply(found, list)
		require.Empty(t, waived, text)
		require.Len(t, left, 4, text)
		require.Equal(t, found, left[:3])
		require.Equal(t, want, left[3].Rule, text)
		require.NotEmpty(t, left[3].Fix)
	}
}

func TestWaiversMayStandInAFileBeside(t *testing.T) {
	list, folder, _ := waivers(t, "waivers: waivers.yaml\n", "format: 1\nwaivers:\n  - {rule: pin-unlisted, at: X1.1, reason: later}\n")
	require.Len(t, list, 1)
	require.Equal(t, finding.Place{File: filepath.Join(folder, "waivers.yaml"), Line: 3, Column: 5}, list[0].Place)
	for text, want := range map[string]string{
		"waivers: none.yaml\n":        "none.yaml",
		"waivers: {a: b}\n":           "relay.yaml:4:10",
		"waivers: [{rule: r}]\n":      "relay.yaml:4:11",
		"waivers: [{rule: r, on: x}]": "relay.yaml:4:21",
	} {
		list, folder, found := waivers(t, text)
		require.Nil(t, list)
		finding.Sort(found)
		require.Contains(t, []string{filepath.Join(folder, want)}, found[len(found)-1].Place.String(), text)
	}
}
