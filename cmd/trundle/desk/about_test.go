package desk

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
)

// saltmarsh is the demonstration instrument.
func saltmarsh(t *testing.T) *console.Instrument {
	return instrument(t, "../examples/saltmarsh/organ.yaml")
}

// about is the pane that explains, with the cursor on the first thing that a
// name finds.
func about(t *testing.T, m *Model, name string) string {
	t.Helper()
	m.Resize(200, 60)
	m.toPane(WhyPane)
	m.ask(askFind, name)
	m.search()
	require.NotEmpty(t, m.asking.found, name)
	m.answer("Enter")
	return paneText(m)
}

func paneText(m *Model) string {
	text := ""
	lines, _ := m.paneText()
	for _, l := range lines {
		text += untied(l.text) + "\n"
	}
	return text
}

// Where a coupler's keys lead is reckoned by hand from its shift and the
// compass of its division: an octave above C7 is C8, the Choir's last note; an
// octave below B2 lies below C2, its first.
func TestACouplerSaysWhichKeysRunOff(t *testing.T) {
	m := New(saltmarsh(t), Options{})
	for name, want := range map[string]string{
		"choir to great 8":  "plays the Choir from the keys of the Great; its own couplers follow\n  C2..C7 play C2..C7\n",
		"choir to great 4":  "plays the Choir from the keys of the Great, an octave up\n  C2..C7 play C3..C8\n",
		"choir to great 16": "plays the Choir from the keys of the Great, an octave down\n  C2..B2 off the Choir, which begins at C2: silent by it\n  C3..C7 play C2..C6\n",
		"great octave 4":    "plays the Great from its own keys, an octave up\n  C2..C6 play C3..C7\n  C♯6..C7 off the Great, which ends at C7: silent by it\n",
		"bass coupler":      "plays the Pedal from the keys of the Great, of those held the lowest\n  C2..B3 play C2..B3\n  C4..G4 not coupled\n  G♯4..C7 off the Pedal, which ends at G4: silent by it\n",
		"great to pedal 8":  "plays the Great from the keys of the Pedal; its keys go down, and all that they couple follows\n  C2..G4 play C2..G4\n",
		"great unison off":  "cuts the Great off from its own keys and from couplers of other keyboards; its own couplers still play it\n",
		"choir unison off":  "cuts the Choir off from its own keys; couplers still play it\n",
		"reeds on":          "lets wind to great-trumpet, trombone while it is on\n",
	} {
		require.Contains(t, about(t, m, name), want, name)
	}
}

// Pipes by extension: a rank of 16 foot at 10 2/3 is a fifth, seven pipes, up;
// at 32 an octave down, so that its first pipe stands on C3. 2 foot of an 8 foot
// rank is two octaves up: C7 takes pipe 85, the last, and what is above folds.
func TestAStopSaysWhichPipesItTakes(t *testing.T) {
	m := New(saltmarsh(t), Options{})
	for name, want := range map[string]string{
		"resultant":       "C2..B2 play bourdon:1..12\nC2..B2 play bourdon:8..19\nC3..G4 play bourdon:1..20\n",
		"piccolo":         "C2..C7 play stopped-flute:25..85\nC♯7..C8 play stopped-flute:74..85 again, an octave down\n",
		"viola celeste":   "C2..B2 beyond the pipes of choir-celeste: silent\nC3..C8 play choir-celeste:1..61\n",
		"pedal-subbass":   "C2..G4 play bourdon:1..32\n",
		"great-principal": "C2..C7 play great-principal:1..61\n",
	} {
		require.Contains(t, about(t, m, name), want, name)
	}
}

// The top key, where the Great's octave coupler and two stops of the Choir end.
func TestAKeySaysWhereItLeadsToNothing(t *testing.T) {
	in := saltmarsh(t)
	m := New(in, Options{})
	m.Resize(200, 60)
	for _, line := range log(t, in, "0 draw great-octave", "0 draw choir-to-great-8", "0 draw choir-octave", "0 draw choir-oboe-8", "0 key great C7 down") {
		m.do(line.Event)
	}
	m.toPane(WhyPane)
	m.moveTo(keyItem(console.Key{Keyboard: 0, Note: 96}))
	text := paneText(m)
	require.Contains(t, text, "oboe:61  C7  2093.00 Hz\n    Great C7 › Choir to Great 8 › Oboe 8\n")
	require.Contains(t, text, "  Great C7 › Great Octave 4: off the Great, which ends at C7: silent by it\n")
	require.Contains(t, text, "  Choir C8 › Oboe 8: no pipe\n")

	// A key that a coupler plays says which.
	m.moveTo(keyItem(console.Key{Keyboard: 1, Note: 96}))
	require.Contains(t, paneText(m), "Great C7 › Choir to Great 8 › Oboe 8\n")
	m.moveTo(keyItem(console.Key{Keyboard: 1, Note: 95}))
	require.Contains(t, paneText(m), "this key is not held, and nothing sounds by a coupler to it\n")
}

// What is shown of a coupler tells of the keys of the chord that it leads nowhere.
func TestACouplerIsShownToRunOff(t *testing.T) {
	in := saltmarsh(t)
	m := New(in, Options{})
	m.Resize(200, 60)
	for _, line := range log(t, in, "0 draw choir-viola-8", "0 key great C2 down", "0 key great C4 down") {
		m.do(line.Event)
	}
	m.show(Item{ControlItem, m.in.Couplers[0].Control, 0}) // Choir to Great 16
	m.act("step")
	m.act("step")
	require.Contains(t, paneText(m), "added: 1 pipe\n  viola: C3\nGreat C2: off the Choir, which begins at C2: silent by it\n")
	m.do(console.Push(in.Stops[10].Control))
	require.Contains(t, paneText(m), "nothing: no pipe of this chord begins or ends with it\nGreat C2: off the Choir")
}

// A ventil that admits the reeds is off: their valves open without wind.
func TestAPipeWithoutWindSaysWhichVentilKeepsIt(t *testing.T) {
	in := saltmarsh(t)
	m := New(in, Options{})
	for _, line := range log(t, in, "0 draw great-trumpet-8", "0 key great C4 down") {
		m.do(line.Event)
	}
	require.Contains(t, about(t, m, "trumpet 8 great"), "great-trumpet:25  C4   261.63 Hz  no wind\n    Great C4 › Trumpet 8\n    no wind: Reeds On is off\n")
	m.do(log(t, in, "0 draw reeds-on")[0].Event)
	require.NotContains(t, paneText(m), "no wind")
}

// A piston before it is pressed: what moves, and what that does to the chord.
func TestThePaneSaysWhatAPistonWouldChange(t *testing.T) {
	in := saltmarsh(t)
	m := New(in, Options{})
	require.Contains(t, about(t, m, "general 1"), "general-1 was never set in memory 1: nothing moves\nto set it: draw what it should keep, press x, this piston, and x again\n")
	for _, line := range log(t, in, "0 draw great-octave-4", "0 draw pedal-subbass-16", "0 press set", "0 press general-1", "0 release set",
		"0 push great-octave-4", "0 push pedal-subbass-16", "0 draw great-principal-8", "0 key great C4 down", "0 key great E4 down") {
		m.do(line.Event)
	}
	text := about(t, m, "general 1")
	require.Contains(t, text, "pressed now, 2 pipes begin, 2 fall silent, 0 go on\n"+
		"  draws     Great: Octave 4\n            Pedal: Subbass 16\n  pushes in Great: Principal 8\n")
	require.Contains(t, text, "memory 1 keeps 2 of 42 drawn on it\n            Great: Octave 4\n            Pedal: Subbass 16\n")
	m.act("work")
	require.Contains(t, paneText(m), "pressed now it changes nothing\n")
	require.Contains(t, about(t, m, "memory"), "memory 1 of 8: set are general-1\n")
}

// The stages and the tutti of the demonstration instrument stand in its file:
// the first adds Viola and Subbass, the second Stopped Flute and Choir to Pedal.
func TestThePaneSaysWhatCrescendoAndTuttiAdd(t *testing.T) {
	in := saltmarsh(t)
	m := New(in, Options{})
	require.Contains(t, about(t, m, "crescendo"), "stage 0 of 12; no knob moves\nstage 1:\n  turns on  Choir: Viola 8\n            Pedal: Subbass 16\n")
	m.do(log(t, in, "0 draw pedal-subbass-16")[0].Event)
	m.act("more")
	require.Equal(t, "crescendo\nstage 1 of 12; no knob moves\n  on by it  Choir: Viola 8\nstage 2:\n  turns on  Choir: Stopped Flute 8\n            couplers: Choir to Pedal 8\n", paneText(m))
	require.Contains(t, about(t, m, "choir-viola"), "on by the crescendo, not drawn\n")

	m.do(tuttiTurned(true))
	m.do(log(t, in, "0 draw choir-celeste-8")[0].Event)
	require.Contains(t, about(t, m, "viola celeste"), "drawn, and kept off by the tutti\n")
	require.Contains(t, about(t, m, "great-octave-4"), "on by the tutti, not drawn\n")
	require.Contains(t, about(t, m, "tutti tutti"), "  turns on  Choir: Viola Celeste 8\n")
	require.Contains(t, about(t, m, "tutti tutti"), "  turns off Great: Principal 8, Octave 4, Fifteenth 2, Mixture IV, Trumpet 8\n")
}

// Names are not broken at the end of a line.
func TestANameStaysOnOneLine(t *testing.T) {
	m := New(saltmarsh(t), Options{})
	about(t, m, "tutti tutti")
	m.Resize(120, 40)
	require.Contains(t, screenOf(m), "turns on  Great: Principal 8,\n")
	require.Contains(t, screenOf(m), "  Octave 4, Fifteenth 2,\n")
}

// What is side by side in a name is found before what is only all in it.
func TestTheFindLinePrefersAWholeName(t *testing.T) {
	d := drive(t, New(saltmarsh(t), Options{}), Outside{})
	d.press("/", "c", "h", "o", "i", "r", "Space", "o", "c", "t").see("1 of 2: Choir Octave 4 (choir-octave)").press("Down").see("2 of 2: Choir Sub Octave 16")
}
