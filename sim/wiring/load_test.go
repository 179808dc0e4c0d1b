package wiring_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/wiring"
)

// What has no meaning, and all that is said of it. A relay is never given then.
func TestFilesWithoutMeaningAreNamedAndNothingIsGiven(t *testing.T) {
	for _, c := range []struct {
		name  string
		edits []edit
		want  []string
	}{
		{"another format", []edit{{"relay.yaml", "format: 1", "format: ①2"}}, []string{`① other-format: this program reads format 1, not "2"`}},
		{"an unknown field", []edit{{"relay.yaml", "joins:", "①join:"}}, []string{"① no-meaning: a relay has no field join"}},
		{"no boards", []edit{{"relay.yaml", "boards:\n  K1: {kind: input, pins: 32}\n  S1: {kind: input, pins: 20}\n  X1: {kind: output, pins: 16}\n  X2: {kind: output, pins: 16}\n  X3: {kind: output, pins: 40}\n\nstrips", "strips"}, {"relay.yaml", "joins: joins.csv\n", ""}, {"relay.yaml", "wiring: wiring.csv", ""}, {"relay.yaml", "switching: switching.csv\n", ""}}, []string{
			"relay.yaml:1:1 no-meaning: a relay lacks the field boards", "relay.yaml:1:1 no-meaning: a relay lacks the field wiring",
		}},
		{"a board's fields", []edit{{"relay.yaml", "S1: {kind: input, pins: 20}", "S1: {kind: ①inputs, pins: ②0, ③pin: 1}"}}, []string{
			`① no-meaning: kind is one of input, output, not "inputs"`, `② no-meaning: pins is a whole number from 1 to 9999, not "0"`, "③ no-meaning: a board has no field pin",
		}},
		{"a board without pins", []edit{{"relay.yaml", "S1: {kind: input, pins: 20}", "S1: ①{}"}}, []string{
			"① no-meaning: a board lacks the field kind", "① no-meaning: a board lacks the field pins",
		}},
		{"a strip of a board's name", []edit{{"relay.yaml", "  J1: {pins: 10}", "  J1: {pins: 10}\n  ①X1: {pins: 8}"}}, []string{"① duplicate-id: X1 stands here a second time"}},
		{"a name that is no id", []edit{{"relay.yaml", "  J1: {pins: 10}", "  J1: {pins: 10}\n  ①J_2: {pins: 8}"}}, []string{`① no-meaning: "J_2" is no id: up to 64 letters, digits and hyphens, no hyphen first`}},
		{"too many pins in all", []edit{{"relay.yaml", "  J1: {pins: 10}", "  J1: {pins: 10}\n" + manyStrips()}}, []string{"① no-meaning: the relay has more than 1000000 pins"}},
		{"a cable's code and wires", []edit{{"relay.yaml", "T1: {wires: 10}", "T1: {wires: ①ten, code: ②rainbow, colours: {③0: red}}"}}, []string{
			`① no-meaning: wires is a whole number from 1 to 9999, not "ten"`, `② no-meaning: code is one of 25-pair, din-47100, din-47100-repeating, din-47100-three-colours, not "rainbow"`, `③ no-meaning: "0" is no wire of a cable`,
		}},
		{"a file that is not there", []edit{{"relay.yaml", "joins.csv", "①join.csv"}}, []string{"join.csv no-meaning: cannot be read: no such file or directory"}},
		{"a file named twice", []edit{{"relay.yaml", "wiring: wiring.csv", "wiring: [wiring.csv, ①wiring.csv]"}}, []string{"① duplicate-id: wiring.csv stands here a second time"}},
		{"a column of another name", []edit{{"switching.csv", "kind,line,notes,control,board", "①kind,line,notes,②controls,board"}}, []string{
			"① no-meaning: the column control is missing", `② no-meaning: unknown column "controls"`,
		}},

		{"an unknown board", []edit{{"wiring.csv", "S1,1,stop", "①S2,1,stop"}}, []string{"① unknown-id: no board or strip S2"}},
		{"no board", []edit{{"wiring.csv", "S1,1,stop", "①,1,stop"}}, []string{"① no-meaning: a board or strip is missing"}},
		{"no pins", []edit{{"wiring.csv", "S1,1,stop", "S1,①,stop"}}, []string{"① no-meaning: a number or a range is missing"}},
		{"pins that are none", []edit{{"wiring.csv", "S1,1,stop", "S1,①0..3,stop"}}, []string{"① no-meaning: 0 is out of range: pins, wires and valves count from 1 to 99999"}},
		{"an unknown kind", []edit{{"wiring.csv", "S1,1,stop", "S1,1,①stops"}}, []string{"① no-meaning: no kind stops"}},
		{"no kind", []edit{{"wiring.csv", "S1,1,stop", "S1,1,①"}}, []string{"① no-meaning: a kind is missing"}},
		{"an unknown keyboard", []edit{{"wiring.csv", "key,choir", "key,①quire"}}, []string{"① unknown-id: no keyboard quire"}},
		{"keys outside the compass", []edit{{"wiring.csv", "key,choir,C4..G4", "key,choir,①C4..G#4"}}, []string{"① no-meaning: choir has no key G#4"}},
		{"keys that are counted", []edit{{"wiring.csv", "key,choir,C4..G4", "key,choir,①1..8"}}, []string{"① no-meaning: 1..8 counts keys; name notes instead: C2..G2 if the lowest is C2"}},
		{"a second contact that is not there", []edit{{"wiring.csv", "key-2,great", "key-2,①choir"}}, []string{"① no-meaning: choir has one contact under a key"}},
		{"an unknown control", []edit{{"wiring.csv", "stop,principal-8", "stop,①principle-8"}}, []string{"① unknown-id: no control principle-8"}},
		{"no control", []edit{{"wiring.csv", "stop,principal-8", "stop,①"}}, []string{"① no-meaning: a control is missing"}},
		{"notes of a stop", []edit{{"wiring.csv", "stop,principal-8,", "stop,principal-8,①C4"}}, []string{"① no-meaning: a control has no notes"}},
		{"an unknown button", []edit{{"wiring.csv", "button,general-1", "button,①general-2"}}, []string{"① unknown-id: no button general-2"}},
		{"an unknown shoe", []edit{{"wiring.csv", "shoe,swell", "shoe,①great"}}, []string{"① unknown-id: no shoe great"}},
		{"a stage that is not there", []edit{{"wiring.csv", "stage,roller,1..2", "stage,roller,①2..3"}}, []string{"① no-meaning: roller has no stage 3"}},
		{"an unknown chest", []edit{{"wiring.csv", "note,great,", "note,①swell,"}}, []string{"① unknown-id: no chest swell"}},
		{"a chest that two divisions play", []edit{{"wiring.csv", "note,echo/choir,", "note,①echo,"}}, []string{"① no-meaning: echo is played by great and choir"}},
		{"a division that does not play the chest", []edit{{"wiring.csv", "note,echo/choir,", "note,①echo/pedal,"}}, []string{"① unknown-id: echo is not played by a division pedal"}},
		{"a note line that is not there", []edit{{"wiring.csv", "note,great,C4..G4", "note,great,①C4..F4 A4 B4"}}, []string{"① no-meaning: great has no note line A4"}},
		{"an unknown rank", []edit{{"wiring.csv", "action,principal", "action,①principle"}}, []string{"① unknown-id: no rank principle"}},
		{"an action of two divisions", []edit{{"wiring.csv", "action,gamba/choir", "action,①gamba"}}, []string{"① no-meaning: gamba is played by great and choir"}},
		{"notes of an action", []edit{{"wiring.csv", "action,principal,", "action,principal,①C4"}}, []string{"① no-meaning: an action has no notes"}},
		{"a valve that is not there", []edit{{"wiring.csv", "flute,1..20", "flute,①2..21"}}, []string{"① no-meaning: flute has no valve 21"}},
		{"an unknown box", []edit{{"wiring.csv", "shade,choir-box", "shade,①great-box"}}, []string{"① unknown-id: no box great-box"}},
		{"an unknown cable", []edit{{"wiring.csv", ",CX2,13,", ",①CX3,13,"}}, []string{"① unknown-id: no cable CX3"}},
		{"wires of no cable", []edit{{"wiring.csv", ",CX2,13,", ",,①13,"}}, []string{"① no-meaning: these wires are of no cable"}},
		{"a bare quote", []edit{{"wiring.csv", "S1,19..20,spare,", "S1,19..20,spare,6①\" pipe"}}, []string{"① no-meaning: a quote stands inside a cell"}},

		{"an unknown kind of switching row", []edit{{"switching.csv", "drive,,,tremulant", "①driv,,,tremulant"}}, []string{`① no-meaning: no kind of switching row "driv"`}},
		{"a read without a line or control", []edit{{"switching.csv", "read,,,bass,", "read,,,①,"}}, []string{"① no-meaning: this row reads its pins to nothing"}},
		{"a read of a line on a condition", []edit{{"switching.csv", "read,choir-keys,C4..G4,,", "read,choir-keys,C4..G4,①bass,"}}, []string{"① no-meaning: a read row with a line has no control"}},
		{"a read of a line without notes", []edit{{"switching.csv", "read,choir-keys,C4..G4,", "read,choir-keys,①,"}}, []string{"① no-meaning: a note or a range is missing"}},
		{"a read of a label that is a condition", []edit{{"switching.csv", "read,,,bass,", "read,,,①!bass,"}}, []string{"① no-meaning: a pin is read to one label"}},
		{"a read of a label from two pins", []edit{{"switching.csv", "read,,,bass,S1,10", "read,,,bass,S1,①10..11"}}, []string{"① no-meaning: a label is read from one pin a row"}},
		{"a read that couples", []edit{{"switching.csv", "K1,17..24,,,", "K1,17..24,①choir,②C4..G4,③lowest"}}, []string{"① no-meaning: a read row has no to", "② no-meaning: a read row has no to-notes", "③ no-meaning: a read row has no picks"}},
		{"a couple without notes", []edit{{"switching.csv", "couple,pedal-keys,C4..E4,,,,pedal,C4..E4,", "couple,pedal-keys,①,,,,pedal,②,"}}, []string{"① no-meaning: a note or a range is missing", "② no-meaning: a note or a range is missing"}},
		{"a couple without lines", []edit{{"switching.csv", "couple,pedal-keys,C4..E4,,,,pedal,C4..E4,", "couple,①,C4..E4,,,,②,C4..E4,"}}, []string{"① no-meaning: a couple row needs line", "② no-meaning: a couple row needs to"}},
		{"a couple with pins", []edit{{"switching.csv", "couple,pedal-keys,C4..E4,,,,pedal", "couple,pedal-keys,C4..E4,,①X1,②1..5,pedal"}}, []string{"① no-meaning: a couple row has no board", "② no-meaning: a couple row has no pins"}},
		{"picks that are none", []edit{{"switching.csv", "lowest", "①lower"}}, []string{`① no-meaning: picks is lowest, highest or empty, not "lower"`}},
		{"a condition that is none", []edit{{"switching.csv", "C4..G4,!choir-off", "C4..G4,①!choir-off|bass"}}, []string{`① no-meaning: "!choir-off|bass" is no condition`}},
		{"a condition with nothing in it", []edit{{"switching.csv", "C4..G4,!choir-off", "C4..G4,①bass&"}}, []string{`① no-meaning: "bass&" is no condition`}},
		{"a drive of a strip", []edit{{"switching.csv", "drive,great,C4..G4,,X1,1..8", "drive,great,C4..G4,,①J1,1..8"}}, []string{"① no-meaning: J1 is a strip, which the relay cannot switch"}},
		{"a drive without a line, with notes", []edit{{"switching.csv", "drive,,,tremulant", "drive,,①C4,tremulant"}}, []string{"① no-meaning: a drive row without a line has no notes"}},
		{"a note that is none", []edit{{"switching.csv", "drive,pedal,C4..E4,bourdon-8", "drive,pedal,①C4..H4,bourdon-8"}}, []string{`① no-meaning: "H4" is no note: write it like C4 or F#3`}},

		{"a comma lost in the joins", []edit{{"joins.csv", "J1,1..8,", "J1①1..8,"}}, []string{"① no-meaning: the row has 5 cells of 6: a comma is missing between J1 and 1..8"}},
		{"two commas lost in a couple", []edit{{"switching.csv", "couple,pedal-keys,C4..E4,,,,pedal", "couple,pedal-keys,C4..E4,,①pedal"}}, []string{"① no-meaning: the row has 7 cells of 9: 2 commas are missing between C4..E4 and pedal"}},
		{"pins parted by commas", []edit{{"switching.csv", "K1,17..24", "K1,①17..20,22,21,23..24"}}, []string{"① no-meaning: the row has 12 cells of 9: 3 commas too many stand in 17..20,22,21,23..24"}},
		{"a board left out with its comma", []edit{{"switching.csv", "drive,choir,C4..G4,flute-8,X3,1..8,", "drive,choir,C4..G4,flute-8,①1..8,②"}}, []string{
			"① unknown-id: no board or strip 1..8; the row has 8 cells of 9", "② no-meaning: a number or a range is missing",
		}},
		{"wires under group", []edit{{"wiring.csv", "flute-8,,CS1,4,", "flute-8,,CS1,,①4,"}}, []string{"① no-meaning: the row has 9 cells of 8: a comma too many stands before 4"}},

		{"every file at once", []edit{{"relay.yaml", "T1: {wires: 10}", "T1: {①wire: 10}"}, {"wiring.csv", "stop,flute-8", "stop,②flut-8"}, {"joins.csv", "J1,1..8", "③J2,1..8"}}, []string{
			"① no-meaning: a cable has no field wire", "② unknown-id: no control flut-8", "③ unknown-id: no board or strip J2",
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			in, relay, marked := bench(t, c.edits...)
			r, found := wiring.Load(relay, in)
			require.Nil(t, r)
			require.True(t, finding.Broken(found) || c.name == "another format")
			require.ElementsMatch(t, c.want, said(found, marked))
		})
	}
}

func manyStrips() string {
	var b strings.Builder
	for i := range 99 {
		fmt.Fprintf(&b, "  L%d: {pins: 9999}\n", i)
	}
	return b.String() + "  ①Last: {pins: 9999}"
}

func TestUnknownNamesAreGivenTheNearestKnown(t *testing.T) {
	in, relay, _ := bench(t, edit{"wiring.csv", "stop,principal-8", "stop,principle-8"}, edit{"wiring.csv", "X3,1..20,valve", "X3,1..20,vlave"})
	_, found := wiring.Load(relay, in)
	require.Len(t, found, 2)
	require.Equal(t, "did you mean principal-8?", found[0].Fix)
	require.Equal(t, "did you mean valve?", found[1].Fix)
}

func TestAFileThatCannotBeReadIsNamedWithWhoNamesIt(t *testing.T) {
	in, relay, marked := bench(t, edit{"relay.yaml", "joins.csv", "①nowhere/joins.csv"})
	_, found := wiring.Load(relay, in)
	require.Len(t, found, 1)
	require.Equal(t, filepath.Join(filepath.Dir(relay), "nowhere/joins.csv"), found[0].Place.String())
	require.Len(t, found[0].Related, 1)
	require.Equal(t, filepath.Join(filepath.Dir(relay), marked["①"]), found[0].Related[0].Place.String())
}

func TestARelayFileThatIsNoneGivesNothing(t *testing.T) {
	in, relay, _ := bench(t)
	for name, data := range map[string]string{
		"empty": "", "a list": "[1, 2]\n", "a word": "relay\n", "binary": "\x00\x01\x02", "not YAML": "boards: {K1: [\n", "two documents": "format: 1\n---\nformat: 1\n",
		"lists where maps are meant": "format: 1\nboards: [K1]\nwiring: {a: b}\nstrips: 3\ncables: [x]\nswitching: {}\n",
	} {
		t.Run(name, func(t *testing.T) {
			require.NoError(t, os.WriteFile(relay, []byte(data), 0o600))
			r, found := wiring.Load(relay, in)
			require.Nil(t, r)
			require.NotEmpty(t, found)
		})
	}
	for _, path := range []string{t.TempDir(), filepath.Join(t.TempDir(), "relay.yaml")} {
		r, found := wiring.Load(path, in)
		require.Nil(t, r)
		require.Len(t, found, 1)
		require.Equal(t, path, found[0].File)
	}
}

func TestEverySectionIsKeptForItsReader(t *testing.T) {
	in, relay, marked := bench(t,
		edit{"relay.yaml", "X3: {kind: output, pins: 40}", "X3: {kind: output, pins: 40, amps-per-pin: 0.5, supply: main, fuse: ①6, switches: negative, drop: 0.7}"},
		edit{"relay.yaml", "K1: {kind: input, pins: 32}", "K1: {kind: input, pins: 32, scan: {rows: 4, columns: 8, diodes: all}}"},
		edit{"relay.yaml", "joins: joins.csv", "joins: joins.csv\nsupplies: {main: {volts: ②12}}\nreturns: {}\nmagnets: {}\nlinks: {}\nplaces: {}"})
	r, found := wiring.Load(relay, in)
	require.Empty(t, found)
	require.Empty(t, wiring.Check(r, in))
	require.Len(t, r.Sections, 5)
	place := func(line, column int) string {
		return finding.Place{File: "relay.yaml", Line: line, Column: column}.String()
	}
	fuse := r.Boards[4].Node.Get("fuse")
	require.Equal(t, marked["①"], place(fuse.Line, fuse.Column))
	volts := r.Sections["supplies"].Get("main").Get("volts")
	require.Equal(t, "12", volts.Text)
	require.Equal(t, marked["②"], place(volts.Line, volts.Column))
	require.Equal(t, "all", r.Boards[0].Node.Get("scan").Get("diodes").Text)
}

func TestEmptyNotesMeanAllThereAre(t *testing.T) {
	in, relay, _ := bench(t)
	r, _ := wiring.Load(relay, in)
	require.Len(t, r.Plan[1].Items, 8, "second contacts: the compass")
	require.Len(t, r.Plan[26].Items, 8, "note lines: the chest's")
	require.Len(t, r.Plan[35].Items, 17, "valves: the rank's")
	require.Equal(t, wiring.Item{Kind: wiring.ValveKind, Index: 3, Of: console.None, Note: 17}, r.Plan[35].Items[16])
}

// A ventil's or tremulant's row is a contact or a magnet by the side of the
// relay it is on; a strip is on the side of the board that joins lead it to.
func TestAVentilOnAnOutputIsItsMagnet(t *testing.T) {
	in, relay, _ := bench(t,
		edit{"joins.csv", "T1,1..8", "T1,1..8\nJ2,1,J3,1,,\nX2,13,J2,1,,"},
		edit{"relay.yaml", "J1: {pins: 10}", "J1: {pins: 10}\n  J2: {pins: 1}\n  J3: {pins: 1}"},
		edit{"wiring.csv", "X2,13,ventil,echo-wind,,CX2,13,", "J3,1,ventil,echo-wind,,,,"})
	r, found := wiring.Load(relay, in)
	require.NotNil(t, r, "%v", found)
	require.Empty(t, wiring.Check(r, in))
	var kinds []wiring.Kind
	for _, row := range r.Plan {
		if row.Kind == wiring.VentilKind {
			kinds = append(kinds, row.Items[0].Kind)
		}
	}
	require.Equal(t, []wiring.Kind{wiring.ControlKind, wiring.VentilKind}, kinds)
}

// As of keys, note lines and valves; on one pin a stage or shade may have no number.
func TestStagesAndShadesWithoutNumbersAreAll(t *testing.T) {
	items := func(edits ...edit) (list [][]wiring.Item) {
		in, relay, _ := bench(t, edits...)
		r, found := wiring.Load(relay, in)
		require.NotNil(t, r, "%v", found)
		for _, row := range r.Plan {
			if row.Kind == wiring.StageKind || row.Kind == wiring.ShadeKind {
				list = append(list, row.Items)
			}
		}
		return list
	}
	counted := items()
	require.Len(t, counted, 2)
	require.Equal(t, counted, items(edit{"wiring.csv", "stage,roller,1..2", "stage,roller,"}, edit{"wiring.csv", "shade,choir-box,1..2", "shade,choir-box,"}))
	alone := items(edit{"wiring.csv", "X2,15..16,shade,choir-box,1..2,CX2,15..16", "X2,15,shade,choir-box,,CX2,15"})
	require.Zero(t, alone[1][0].Note)
}
