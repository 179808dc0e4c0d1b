package contact_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/contact"
	"trundle/sim/wiring"
)

// organ has two manuals and a pedal, each of a scan's worth of keys, and two
// ranks on one unit chest.
const organ = `
format: 1
instrument: Saltmarsh Hall
keyboards:
  great: {kind: manual, keys: C2..C7}
  choir: {kind: manual, keys: C2..C7, touches: 2}
  swell: {kind: manual, keys: C2..C7}
  pedal: {kind: pedal, keys: C2..G4}
divisions:
  great: {keyboard: great, notes: C2..C7, chest: unit}
ranks:
  flute: {division: great, family: flute, feet: 8, pipes: 61}
  celeste: {division: great, family: string, feet: 8, pipes: 61}
stops:
  great-flute-8: {name: Flute, division: great, feet: 8, rank: flute}
  great-celeste-8: {name: Celeste, division: great, feet: 8, rank: celeste}
`

// load reads a relay of these boards, wiring rows and sections.
func load(t *testing.T, boards, rows, sections string) (*wiring.Relay, *console.Instrument) {
	t.Helper()
	dir := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		return path
	}
	in, found := console.Load(write("organ.yaml", organ))
	require.NotNil(t, in, "%v", found)
	write("wiring.csv", "board,pins,kind,item,notes,cable,wires,group\n"+rows)
	relay, found := wiring.Load(write("relay.yaml", "format: 1\nwiring: wiring.csv\nboards:\n"+boards+"\n"+sections), in)
	require.NotNil(t, relay, "%v", found)
	return relay, in
}

// great is one board that scans 64 crossings, 61 of them the keys of the great.
func great(t *testing.T, diodes string) (*wiring.Relay, *console.Instrument) {
	return load(t, "  K1: {kind: input, pins: 64, scan: {rows: 8, columns: 8, diodes: "+diodes+"}}", "K1,1..61,key,great,,,,\n", "")
}

func scanOf(t *testing.T, r *wiring.Relay, in *console.Instrument) *contact.Scan {
	t.Helper()
	scans, found := contact.Scans(r, in)
	require.Empty(t, found)
	require.Len(t, scans, 1)
	return scans[0]
}

func TestAScanWithAllItsDiodesReadsWhatIsPressed(t *testing.T) {
	require.Empty(t, contact.Check(great(t, "all")))
}

// Three corners of a rectangle raise the fourth (common practice, no source: the ghost key of
// a key matrix without diodes).
func TestWithoutDiodesThreeKeysRaiseAFourth(t *testing.T) {
	r, in := great(t, "none")
	phantoms := scanOf(t, r, in).Phantoms()
	require.Len(t, phantoms, 61)
	for _, p := range phantoms {
		require.Len(t, p.Chord, 3, "crossing %d", p.Crossing)
		require.True(t, p.Playable)
	}
}

func TestFindings(t *testing.T) {
	for name, c := range map[string]struct {
		diodes string
		want   []string
	}{
		// Key 1 is C2, in row 1; row 2 begins with G#2. Current runs from row 1 through C#2 to column 2, back through A2
		// without its diode to row 2, and through G#2 to column 1: C2 is read. So is each of the 7 by 7 crossings that are
		// neither in its row nor in its column, less the three that have no key.
		"one missing diode raises the corners opposite to it": {"{missing: [10]}", []string{
			"phantom-key error: K1 reads 46 contacts that are open, 46 of them in chords that can be played: great:C2 is read while only great:C#2 great:G#2 great:A2 are closed"}},
		"one reversed diode masks its key, and raises others": {"{reversed: [10]}", []string{
			"phantom-key error: K1 reads 46 contacts that are open, 46 of them in chords that can be played: great:C2 is read while only great:C#2 great:G#2 great:A2 are closed",
			"masked-key error: K1.10: great:A2 is not read when it is closed"}},
	} {
		t.Run(name, func(t *testing.T) {
			require.Equal(t, c.want, lines(contact.Check(great(t, c.diodes))))
		})
	}
}

func TestTheFixNamesTheCrossings(t *testing.T) {
	for diodes, want := range map[string]string{
		"none":                              "put a diode in at K1.1..64",
		"{missing: [10, 12]}":               "put a diode in at K1.10 12",
		"{reversed: [10]}":                  "turn the diode round at K1.10",
		"{missing: [3..5], reversed: [10]}": "put a diode in at K1.3..5, turn it round at K1.10",
	} {
		require.Equal(t, want, contact.Check(great(t, diodes))[0].Fix)
	}
}

func lines(found []finding.Finding) []string {
	var text []string
	for _, f := range found {
		text = append(text, fmt.Sprintf("%s %s: %s", f.Rule, f.Severity, f.Message))
	}
	return text
}

func TestTwoRowsThatTouchReadEachOther(t *testing.T) {
	r, in := load(t, "  K1: {kind: input, pins: 64, scan: {rows: 8, columns: 8}}\nstrips:\n  J1: {pins: 20}",
		"K1,1..61,key,great,,,,\nJ1,1..2 2 4..8,row,K1,1..8,,,\nJ1,9..16,column,K1,1..8,,,\n", "")
	found := lines(contact.Check(r, in))
	require.Len(t, found, 2)
	require.Contains(t, strings.Join(found, "\n"), "K1: row 2 and row 3 touch")
	require.Contains(t, strings.Join(found, "\n"), "K1 reads 16 contacts that are open, 16 of them in chords that can be played: great:G#2 is read while only great:E3 is closed")
}

func TestARowThatLeadsNowhereReadsNothing(t *testing.T) {
	r, in := load(t, "  K1: {kind: input, pins: 64, scan: {rows: 8, columns: 8}}\nstrips:\n  J1: {pins: 20}",
		"K1,1..61,key,great,,,,\nJ1,1..7,row,K1,1..7,,,\n", "")
	require.Equal(t, []string{"masked-key error: K1: row 8 leads nowhere, so none of its 5 contacts is read, from great:G#6 to great:C7"},
		lines(contact.Check(r, in)))
}

// A row that is not connected is never read, whatever else is closed.
func TestADeadRowHasNoPhantoms(t *testing.T) {
	r, in := load(t, "  K1: {kind: input, pins: 64, scan: {rows: 8, columns: 8, diodes: none}}\nstrips:\n  J1: {pins: 20}",
		"K1,1..61,key,great,,,,\nJ1,1..7,row,K1,1..7,,,\n", "")
	require.Len(t, scanOf(t, r, in).Phantoms(), 7*8)
}

// Where rows are 16 semitones apart, a chord is one key of a row, and two keys
// of the other x columns apart: two feet hold it while x is at most 4, and some
// such x there is for every key. Of four keys at least a fifth apart no three
// are held by two feet.
func TestOnlyWhatHandsAndFeetCanHoldCounts(t *testing.T) {
	for name, c := range map[string]struct {
		scan, notes string
		playable    bool
	}{
		"near enough": {"pins: 32, scan: {rows: 2, columns: 16, diodes: none}", "C2..G4", true},
		"too far":     {"pins: 4, scan: {rows: 2, columns: 2, diodes: none}", "C2 D3 G2 A3", false},
	} {
		t.Run(name, func(t *testing.T) {
			pins := len(strings.Fields(c.notes))
			if pins == 1 {
				pins = 32
			}
			r, in := load(t, "  K1: {kind: input, "+c.scan+"}", fmt.Sprintf("K1,1..%d,key,pedal,%s,,,\n", pins, c.notes), "")
			phantoms := scanOf(t, r, in).Phantoms()
			require.Len(t, phantoms, pins)
			for _, p := range phantoms {
				require.Len(t, p.Chord, 3)
				require.Equal(t, c.playable, p.Playable)
			}
			severity := contact.Check(r, in)[0].Severity
			require.Equal(t, c.playable, severity == finding.Error)
		})
	}
}

func TestPlayable(t *testing.T) {
	for name, c := range map[string]struct {
		keys string
		want bool
	}{
		"nothing":                    {"", true},
		"ten fingers in two octaves": {"great C3 D3 E3 F3 G3 C4 D4 E4 F4 G4", true},
		"a ninth and a semitone, one hand's reach":    {"great C3 D4 great C5 D6", true},
		"three places an octave and a half apart":     {"great C2 G3 D5", false},
		"twelve keys, both thumbs on two":             {"great C3 D3 E3 G3 A3 B3 C4 D4 F4 G4 A4 B4", true},
		"thirteen keys":                               {"great C3 D3 E3 F3 G3 A3 B3 C4 D4 E4 F4 G4 A4", false},
		"six keys a hand, its outer ones a third off": {"great C3 D#3 E3 F3 F#3 A3 C5 D#5 E5 F5 F#5 A5", false},
		"six keys a hand, the thumb's above":          {"great C3 E3 F#3 G#3 B3 C4 C5 E5 F#5 G#5 B5 C6", true},
		"a thumb on a manual further off":             {"great C4 swell C4 great C6", false},
		"a hand on each manual":                       {"great C3 E3 G3 choir C5 E5 G5", true},
		"a thumb on the manual beside":                {"great C4 E4 G4 choir B3 great C6 E6 G6", true},
		"three manuals' worth of places":              {"great C2 great C4 choir C6", false},
		"four pedal keys, toes and heels":             {"pedal C2 D2 C4 E4", true},
		"three pedal keys too far apart":              {"pedal C2 C3 C4", false},
		"five pedal keys":                             {"pedal C2 D2 E2 F2 G2", false},
	} {
		t.Run(name, func(t *testing.T) {
			_, in := great(t, "all")
			var keys []console.Key
			keyboard := 0
			for _, word := range strings.Fields(c.keys) {
				switch word {
				case "great", "choir", "swell", "pedal":
					keyboard = map[string]int{"great": 0, "choir": 1, "swell": 2, "pedal": 3}[word]
				default:
					n, err := console.ParseNote(word)
					require.NoError(t, err)
					keys = append(keys, console.Key{Keyboard: keyboard, Note: n})
				}
			}
			require.Equal(t, c.want, contact.Playable(in, keys))
		})
	}
}

// A key pressed deep closes its first contact too: with C2 held and C#2 pressed
// deep, three corners of the rectangle are closed by two keys.
func TestAKeyPressedDeepClosesBothItsContacts(t *testing.T) {
	r, in := load(t, "  K1: {kind: input, pins: 4, scan: {rows: 2, columns: 2, diodes: none}}",
		"K1,1..2,key,choir,C2..C#2,,,\nK1,3..4,key-2,choir,C2..C#2,,,\n", "")
	require.Contains(t, lines(contact.Check(r, in))[0], "choir:C2:2 is read while only choir:C2 choir:C#2:2 are closed")
}

// A strip that scan wires pass needs no joins: the row says which board's they are.
func TestScanWiresOnAStripAreInOrder(t *testing.T) {
	r, in := load(t, "  K1: {kind: input, pins: 61, scan: {rows: 8, columns: 8}}\n  S1: {kind: input, pins: 2}\n  X1: {kind: output, pins: 122}\nstrips:\n  J1: {pins: 16}",
		"K1,1..61,key,great,,,,\nJ1,1..8,row,K1,1..8,,,\nJ1,9..16,column,K1,1..8,,,\n", "")
	require.Empty(t, contact.Check(r, in))
	for _, f := range wiring.Check(r, in) {
		require.NotEqual(t, "net-open", f.Rule, f.Message)
	}
}

// Wires that a scan does not have are told, and so is what is no number.
func TestScanWiresThatAreNotThere(t *testing.T) {
	for row, want := range map[string]string{
		"J1,1..9,row,K1,1..9":         "the scan of K1 has no row 9: it has 1..8",
		"J1,1..2,column,K1,3..4":      "the scan of K1 has no column 4: it has 1..3",
		"J1,1..8,row,K1,1..x":         `"x" is no number`,
		"J1,1..8,row,K1,1..7":         "8 pins for 7 wires of the scan of K1",
		"J1,1..8,row,K9,1..8":         "no scanned board K9",
		"J1,1..8,row,S1,1..8":         "no scanned board S1",
		"J1,1..8,row,K1,1..8":         "",
		"J1,1..8,row,K1,":             "a number or a range is missing",
		"J1,1..3,column,K1,3..1,,,\n": "",
	} {
		t.Run(row, func(t *testing.T) {
			r, in := load(t, "  K1: {kind: input, pins: 24, scan: {rows: 8, columns: 3}}\n  S1: {kind: input, pins: 2}\n  X1: {kind: output, pins: 122}\nstrips:\n  J1: {pins: 16}",
				"K1,1..24,key,great,C2..B3,,,\n"+strings.TrimSpace(row)+"\n", "")
			found := contact.Check(r, in)
			if want == "" {
				require.Empty(t, found)
				return
			}
			require.Len(t, found, 1)
			require.Equal(t, "wiring.csv:3", strings.TrimSuffix(filepath.Base(found[0].Place.String()), ":1"))
			require.Contains(t, found[0].Message, want)
		})
	}
}
