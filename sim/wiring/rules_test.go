package wiring_test

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console/finding"
	"trundle/sim/wiring"
)

func TestTheBenchIsClean(t *testing.T) {
	in, relay, _ := bench(t)
	r, found := wiring.Load(relay, in)
	require.NotNil(t, r, "%v", found)
	require.Empty(t, append(found, wiring.Check(r, in)...))
}

// Every rule with small faults of the bench, and all that the rules then say.
func TestEveryRuleNamesItsFaultAndItsPlace(t *testing.T) {
	named := map[string]bool{}
	for _, c := range []struct {
		name  string
		edits []edit
		want  []string
	}{
		{"a pin used twice", []edit{{"wiring.csv", "S1,2,stop", "S1,①1,stop"}, {"relay.yaml", "  S1:", "  ②S1:"}}, []string{
			"② pin-unlisted: S1.2 is in no row",
			"① pin-used-twice: S1.1 is wired already",
		}},
		{"a row on pins of another", []edit{{"wiring.csv", "X1,9..16,note,echo/great,C4", "J1,①5..8,note,echo/great,②C4"}, {"relay.yaml", "  X1:", "  ③X1:"}}, []string{
			"③ pin-unlisted: X1.9..16 are in no row",
			"① pin-used-twice: J1.5..8 are wired already",
			"② ranges-differ: 8 notes for 4 pins",
		}},
		{"a join on pins of a row", []edit{{"joins.csv", "X1,1..8,", "X1,①2..9,"}, {"relay.yaml", "  X1:", "  ②X1:"}}, []string{
			"① pin-used-twice: X1.9 is wired already",
			"② pin-unlisted: X1.1 is in no row",
		}},
		{"a join on spare pins", []edit{{"joins.csv", "X1,1..8,", "X3,①33..40,"}, {"relay.yaml", "  X1:", "  ②X1:"}, {"wiring.csv", "X3,21..37,valve,bourdon,,", "X3,21..32,valve,③bourdon,1..12,"}, {"wiring.csv", "X3,38..40", "X3,33..40"}}, []string{
			"① pin-used-twice: X3.33..40 are listed as spare",
			"② pin-unlisted: X1.1..8 are in no row",
			"③ item-not-wired: valve bourdon 13..17 are on no pin",
		}},
		{"two boards on one strip", []edit{{"joins.csv", "T1,1..8", "T1,1..8\nX3,38..40,J1,①1..3,,"}, {"wiring.csv", "X3,38..40,spare,,,,,\n", ""}}, []string{
			"① pin-used-twice: J1.1..3 are joined already",
		}},
		{"a chain of strips", []edit{{"joins.csv", "J1,1..8,T1,1..8", "J2,1..8,T1,1..8\nJ2,1..8,J1,1..8,,"}, {"relay.yaml", "  J1:", "  J2: {pins: 8}\n  J1:"}}, nil},
		{"a join that is there twice", []edit{{"joins.csv", "T1,1..8", "T1,1..8\nX1,①1..8,J1,1..8,,"}}, []string{
			"① pin-used-twice: X1.1..8 are joined already",
		}},
		{"a pin off the board", []edit{{"wiring.csv", "X3,38..40", "X3,①38..41"}}, []string{
			"① pin-off-board: X3.41 is off its end: X3 has 40",
		}},
		{"a join off the strip", []edit{{"joins.csv", "J1,1..8", "J1,①4..11"}, {"wiring.csv", "J1,1..8", "J1,②1..8"}}, []string{
			"① pin-off-board: J1.11 is off its end: J1 has 10",
			"② net-open: no join leads from J1.1..3 to a board",
		}},
		{"a switched pin off the board", []edit{{"switching.csv", "X3,33..37", "X3,①37..41"}}, []string{
			"① pin-off-board: X3.41 is off its end: X3 has 40",
		}},
		{"a wire that the cable has not", []edit{{"wiring.csv", ",CX2,13,", ",CX2,①45,"}}, []string{
			"① pin-off-board: cable CX2 has 44 wires, no 45",
		}},
		{"pins that nobody lists", []edit{{"wiring.csv", "K1,30..32,spare", "K1,31,spare"}, {"relay.yaml", "  K1:", "  ①K1:"}}, []string{
			"① pin-unlisted: K1.30 is in no row",
			"① pin-unlisted: K1.32 is in no row",
		}},
		{"a strip that no join leads to", []edit{{"joins.csv", "X1,1..8,J1,1..8,T1,1..8", "X1,1..6,J1,1..6,T1,1..6"}, {"wiring.csv", "J1,1..8", "J1,①1..8"}, {"relay.yaml", "  X1:", "  ②X1:"}}, []string{
			"② pin-unlisted: X1.7..8 are in no row",
			"① net-open: no join leads from J1.7..8 to a board",
		}},
		{"a strip with nothing behind", []edit{{"joins.csv", "T1,1..8", "T1,1..8\nX1,9,J1,①10,,"}, {"wiring.csv", "J1,9..10,spare", "J1,9,spare"}, {"wiring.csv", "X1,9..16,note,echo/great,C4..G4", "X1,10..16,note,②echo/great,C#4..G4"}}, []string{
			"① net-open: nothing hangs on J1.10",
			"② item-not-wired: note echo/great C4 is on no pin",
		}},
		{"an item wired twice", []edit{{"wiring.csv", "S1,18,coupler,choir-to-great,,CS1,18,toe", "S1,18,coupler,①choir-to-great,,CS1,18,"}}, []string{
			"① item-wired-twice: coupler choir-to-great is wired already",
		}},
		{"an item in two groups", []edit{{"wiring.csv", "S1,18,coupler,choir-to-great,,CS1,18,toe", "S1,18,coupler,①choir-to-great,,CS1,18,thumb"}}, []string{
			"① item-wired-twice: coupler choir-to-great is wired already",
		}},
		{"a run that overlaps", []edit{{"wiring.csv", "X3,21..37,valve,bourdon,", "X3,21..37,valve,①flute,4..20"}}, []string{
			"wiring.csv item-not-wired: valve bourdon 1..17 are on no pin",
			"① item-wired-twice: valve flute 4..20 are wired already",
		}},
		{"a run that overlaps in part", []edit{{"wiring.csv", "X3,1..20,valve,flute,1..20", "X3,1..5,valve,flute,1..5"}, {"wiring.csv", "X3,38..40,spare,,", "X3,6..20 38..40,valve,①flute,3..20"}}, []string{
			"① item-wired-twice: 3 of valve flute 3..20 are wired already",
		}},
		{"contacts that are missing", []edit{{"wiring.csv", "S1,6,stop,bourdon-16", "S1,6,spare,"}, {"wiring.csv", "S1,7,stop,bourdon-8", "S1,7,spare,"}}, []string{
			"wiring.csv item-not-wired: 2 items of kind control, bourdon-16 to bourdon-8, are on no pin",
		}},
		{"keys that are missing", []edit{{"wiring.csv", "K1,1..8,key,great,C4..G4", "K1,1..4 6..7,key,①great,C4..D#4 F4..F#4"}, {"wiring.csv", "K1,30..32,spare", "K1,5 8 30..32,spare"}}, []string{
			"① item-not-wired: key great E4 is on no pin",
			"① item-not-wired: key great G4 is on no pin",
		}},
		{"a keyboard that is missing", []edit{{"wiring.csv", "K1,9..16,key-2,great", "K1,9..16,spare,"}}, []string{
			"wiring.csv item-not-wired: key-2 great C4..G4 are on no pin",
		}},
		{"an action half wired", []edit{{"wiring.csv", "X2,11,action-off,gamba/great", "X2,11,spare,"}}, []string{
			"wiring.csv item-not-wired: action-off gamba/great is on no pin",
		}},
		{"an action half wired, the other half", []edit{{"wiring.csv", "X2,10,action-on,gamba/great", "X2,10,spare,"}}, []string{
			"wiring.csv item-not-wired: action-on gamba/great is on no pin",
		}},
		{"a shade that is missing", []edit{{"wiring.csv", "X2,15..16,shade,choir-box,1..2,CX2,15..16", "X2,15,shade,①choir-box,1,CX2,15"}, {"relay.yaml", "  X2:", "  ②X2:"}}, []string{
			"② pin-unlisted: X2.16 is in no row",
			"① item-not-wired: shade choir-box 2 is on no pin",
		}},
		{"a coil that is missing", []edit{
			{"organ.yaml", "rank: flute, style: fixed}\n  flute-4", "rank: flute}\n  flute-4"},
			{"organ.yaml", "rank: flute, style: fixed}\n  bourdon", "rank: flute}\n  bourdon"},
			{"wiring.csv", "X3,38..40,spare,", "X3,39..40,spare,\nX3,38,knob-on,①flute-8"},
		}, []string{
			"① item-not-wired: knob-on flute-4 is on no pin",
		}},
		{"note lines of a unit chest", []edit{{"wiring.csv", "X3,1..20,valve,flute,1..20", "X3,1..20,note,①choir,"}}, []string{
			"wiring.csv item-not-wired: valve flute 1..20 are on no pin",
			"① item-not-there: choir is a unit chest: it has no note lines",
		}},
		{"an action of a unit chest", []edit{{"wiring.csv", "X3,38..40,spare,,", "X3,38,action,①flute,"}, {"relay.yaml", "  X3:", "  ②X3:"}}, []string{
			"② pin-unlisted: X3.39..40 are in no row",
			"① item-not-there: flute stands on unit chests: it has no action",
		}},
		{"valves of a slider chest", []edit{{"wiring.csv", "X3,38..40,spare,,", "X3,38..40,valve,①principal,1..3"}}, []string{
			"① item-not-there: principal stands on great, a slider chest: it has no magnets for its valves there",
		}},
		{"a contact on an output", []edit{{"wiring.csv", "S1,14,button,general-1", "①X3,38,button,general-1"}, {"wiring.csv", "X3,38..40,spare", "X3,39..40,spare"}, {"relay.yaml", "  S1:", "  ②S1:"}}, []string{
			"② pin-unlisted: S1.14 is in no row",
			"① item-not-there: X3 is an output board: it cannot read a button",
		}},
		{"a magnet on an input", []edit{{"wiring.csv", "K1,30..32,spare,,,,,", "①K1,30..32,valve,flute,1..3,,,dbl"}, {"wiring.csv", "valve,flute,1..20,,,", "valve,flute,1..20,,,dbl"}}, []string{
			"① item-not-there: K1 is an input board: it cannot drive a valve",
		}},
		{"a control called something else", []edit{{"wiring.csv", "S1,12,ventil,echo-wind", "S1,12,①stop,echo-wind"}}, []string{
			"① control-kind: echo-wind is a ventil, not a stop",
		}},
		{"a unison off called a coupler, a coupler called a stop", []edit{{"wiring.csv", "S1,9,coupler,great", "S1,9,①stop,great"}}, []string{
			"① control-kind: great-to-pedal is a coupler, not a stop",
		}},
		{"more pins than notes", []edit{{"wiring.csv", "X3,1..20,valve,flute,1..20", "X3,1..20,valve,①flute,②1..19"}}, []string{
			"① item-not-wired: valve flute 20 is on no pin",
			"② ranges-differ: 19 notes for 20 pins",
		}},
		{"more pins than the compass", []edit{{"wiring.csv", "K1,9..16,key-2,great", "K1,①9..16 30,key-2,great"}, {"wiring.csv", "K1,30..32,spare", "K1,31..32,spare"}}, []string{
			"① ranges-differ: 9 pins for 8 key-2s",
		}},
		{"more magnets of the shades than pins", []edit{{"organ.yaml", "choir-box: {stages: 2}", "choir-box: {stages: 3}"}, {"wiring.csv", "X2,15..16,shade,choir-box,1..2,", "X2,①15..16,shade,choir-box,,"}}, []string{
			"① ranges-differ: 2 pins for 3 shades",
		}},
		{"two pins for one stop", []edit{{"wiring.csv", "S1,7,stop,bourdon-8,,CS1,7", "S1,①7 19,stop,bourdon-8,,CS1,7 19"}, {"wiring.csv", "S1,19..20,spare", "S1,20,spare"}}, []string{
			"① ranges-differ: 2 pins for 1 stop",
		}},
		{"fewer wires than pins", []edit{{"wiring.csv", "1..2,CS1,15..16", "1..2,CS1,①15"}}, []string{
			"① ranges-differ: 1 wire for 2 pins",
		}},
		{"a join of unequal ends", []edit{{"joins.csv", "J1,1..8,T1,1..8", "J1,①1..9,T1,②1..9"}, {"wiring.csv", "J1,9..10,spare", "J1,10,spare"}}, []string{
			"① ranges-differ: 9 pins for 8 pins",
			"② ranges-differ: 9 wires for 8 pins",
		}},
		{"a couple row of unequal ends", []edit{{"switching.csv", "couple,pedal-keys,C4..E4,,,,pedal,C4..E4,", "couple,pedal-keys,C4..E4,,,,pedal,①C4..F4,"}}, []string{
			"① ranges-differ: 6 notes for 5 notes",
		}},
		{"a drive row of unequal ends", []edit{{"switching.csv", "bourdon-16,X3,21..25", "bourdon-16,X3,①21..24"}}, []string{
			"① ranges-differ: 4 pins for 5 notes",
		}},
		{"a wire used twice", []edit{{"wiring.csv", ",CX2,15..16", ",CX2,①14..15"}}, []string{
			"① wire-used-twice: wire 14 of CX2 is in use already",
		}},
		{"a wire used by a row and a join", []edit{{"wiring.csv", "X3,38..40,spare,,,,,", "X3,38..40,spare,,,T1,8..10,"}, {"joins.csv", "T1,1..8", "T1,①1..8"}}, []string{
			"① wire-used-twice: wire 8 of T1 is in use already",
		}},
		{"a colour that disagrees", []edit{{"relay.yaml", "11: red-blue", "11: ①blue-red"}}, []string{
			"① colour-disagrees: wire 11 of CS1 is tagged blue-red; by the code 25-pair it is red-blue",
		}},
		{"a code that ends before its cable", []edit{{"relay.yaml", "CS1: {wires: 50, code: 25-pair", "①CS1: {wires: 51, code: 25-pair"}}, []string{
			"① code-ends: the code 25-pair says no colour for wire 51 of CS1",
		}},
		{"a label that is never read", []edit{{"switching.csv", "read,,,bass,", "read,,,left,"}, {"switching.csv", ",bass,,,pedal", ",①bass,,,pedal"}}, []string{
			"① label-not-read: no row sets the control bass, so it is never on",
		}},
		{"a control misspelt where it is read", []edit{{"switching.csv", "read,,,bass,", "read,,,①bas,"}}, []string{
			"① label-not-read: no control is called bas, and no row sets bass, which another waits for",
		}},
		{"a row that stands there twice", []edit{{"switching.csv", "read,,,tremulant,S1,13", "read,,,tremulant,S1,13,,,\n①read,,,tremulant,S1,13"}}, []string{
			"① row-twice: the same row stands here a second time",
		}},
		{"a line that nothing sets", []edit{{"switching.csv", "drive,pedal,C4..E4,bourdon-8", "drive,①pedals,C4..E4,bourdon-8"}}, []string{
			"① label-not-read: no row sets the line pedals, so it is never on",
		}},
		{"a read of an output", []edit{{"switching.csv", "read,,,tremulant,S1,13", "read,,,tremulant,①X3,38"}}, []string{
			"① reads-output: X3 is an output board: its pins cannot be read",
		}},
		{"a drive of an input", []edit{{"switching.csv", "drive,,,tremulant,X2,14", "drive,,,tremulant,①S1,20"}}, []string{
			"① drives-input: S1 is an input board: its pins cannot be driven",
		}},
		{"a row that picks from itself", []edit{{"switching.csv", "pedal,C4..E4,lowest", "pedal,C4..E4,①lowest\ncouple,pedal,C4..E4,choir-off,,,great-down,C4..E4,"}}, []string{
			"① picks-own-outcome: what this row picks from great-down changes with what it passes to pedal; it passes nothing",
		}},
		{"two rows that pick from each other", []edit{{"switching.csv", "pedal,C4..E4,lowest", "pedal,C4..E4,①lowest\ncouple,pedal,C4..E4,choir-off,,,great-down,D4..F#4,②highest"}}, []string{
			"① picks-own-outcome: what this row picks from great-down changes with what it passes to pedal; it passes nothing",
			"② picks-own-outcome: what this row picks from pedal changes with what it passes to great-down; it passes nothing",
		}},
		{"a row that picks below what it leads to", []edit{{"switching.csv", "pedal,C4..E4,lowest", "pedal,C4..E4,lowest\ncouple,pedal,C4..D4,choir-off,,,great-down,F4..G4,"}}, []string{}},
		{"another instrument", []edit{{"relay.yaml", "instrument: organ.yaml", "instrument: ①other.yaml"}}, []string{
			"① other-instrument: the relay was made for DIR/other.yaml and is checked against DIR/organ.yaml",
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			in, relay, marked := bench(t, c.edits...)
			r, found := wiring.Load(relay, in)
			require.NotNil(t, r, "%v", found)
			found = append(found, wiring.Check(r, in)...)
			for i, f := range found {
				named[f.Rule] = true
				require.NotEmpty(t, f.Fix)
				require.Equal(t, severity(f.Rule), f.Severity)
				found[i].Message = strings.ReplaceAll(f.Message, filepath.Dir(relay), "DIR")
			}
			require.ElementsMatch(t, c.want, said(found, marked))
		})
	}
	named["soldered-otherwise"] = true // it takes two lists: rules_soldered_test.go
	for _, rule := range wiring.Rules {
		require.True(t, named[rule.ID], "no fault shows the rule %s", rule.ID)
		require.NotEmpty(t, rule.Doc)
	}
}

// The row that a fix says to add, added, leaves nothing to say.
func TestARowForUnlistedPinsCanBeAddedAsItIsWritten(t *testing.T) {
	in, relay, _ := bench(t, edit{"wiring.csv", "X3,38..40,spare,,,,,\n", ""})
	r, found := wiring.Load(relay, in)
	require.NotNil(t, r, "%v", found)
	found = wiring.Check(r, in)
	require.Len(t, found, 1)
	row, is := strings.CutPrefix(found[0].Fix, "if unused, add the row ")
	require.True(t, is, found[0].Fix)

	in, relay, _ = bench(t, edit{"wiring.csv", "X3,38..40,spare,,,,,\n", row + "\n"})
	r, found = wiring.Load(relay, in)
	require.NotNil(t, r, "%v", found)
	require.Empty(t, wiring.Check(r, in))
}

func TestAnInstrumentFileIsNoRelay(t *testing.T) {
	in, _, _ := bench(t)
	r, found := wiring.Load(in.File, in)
	require.Nil(t, r)
	require.Len(t, found, 1)
	require.Equal(t, "this is the file of an instrument, and of no relay", found[0].Message)
}

func TestThePlanAndWhatWasSolderedAreBothChecked(t *testing.T) {
	in, relay, _ := bench(t,
		edit{"relay.yaml", "wiring: wiring.csv", "wiring: wiring.csv\nwired: [soldered.csv]"},
		edit{"wiring.csv", "S1,19..20,spare", "S1,19,spare"})
	soldered(t, relay, "X3,38..40,spare,,,,,", "X3,1,valve,flute,1,,,")
	r, found := wiring.Load(relay, in)
	require.NotNil(t, r, "%v", found)
	require.Equal(t, []string{
		"relay.yaml:6:3 pin-unlisted: S1.20 is in no row of the plan, nor of what was soldered",
		"relay.yaml:9:3 pin-unlisted: X3.38..40 are in no row of what was soldered",
		"soldered.csv:38:4 pin-used-twice: X3.1 is wired already",
		"soldered.csv:38:12 item-wired-twice: valve flute 1 is wired already",
	}, said(wiring.Check(r, in), nil))
}

func severity(rule string) finding.Severity {
	switch rule {
	case "pin-unlisted", "control-kind", "other-instrument", "row-twice":
		return finding.Warning
	case "code-ends":
		return finding.Note
	}
	return finding.Error
}
