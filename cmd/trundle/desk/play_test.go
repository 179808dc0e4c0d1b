package desk

import (
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/midiio"
)

func play(t *testing.T) *driver {
	return drive(t, New(threeManuals(t), Options{}), Outside{})
}

// A letter holds a key until it is pressed again, for a terminal never says
// that it was let go.
func TestALetterHoldsAKeyUntilItIsPressedAgain(t *testing.T) {
	d := play(t).press("1", "a").count("●", 1).see("nothing sounds: nothing is drawn")
	d.find("gedackt").press("Enter").see("■ Gedackt 8", "1 path, 1 pipe", "25  C4   261.63 Hz")
	d.press("a").count("●", 0).see("no key is held")
}

// The two rows of letters are the two sides of a chest. The pitches are those of
// equal temperament from an A4 of 440 Hz (ISO 16).
func TestNeighbouringLettersOfARowAreAWholeToneApart(t *testing.T) {
	d := play(t).find("gedackt").press("Enter", "1")
	d.press("a", "s", "d").see("C4   261.63", "D4   293.66", "E4   329.63")
	d.press("f", "g", "h").see("F♯4  369.99", "G♯4  415.30", "A♯4  466.16")
	d.press("Backspace", "q", "w", "e").see("C♯4  277.18", "D♯4  311.13", "F4   349.23")
	d.press("r", "t", "y").see("G4   392.00", "A4   440.00", "B4   493.88")
	d.see("6 paths, 6 pipes")
}

func TestTheLettersMoveByOctavesAndKeyboards(t *testing.T) {
	d := play(t).find("gedackt").press("Enter", "1")
	d.press(",", "a").see("C3   130.81 Hz")
	d.press("Backspace", ".", ".", "a").see("C5   523.25 Hz")
	d.press("Backspace", ">", "a").see("no stop hears these keys")
	d.find("harmonic").press("Enter").see("great-harmonic-flute-8", "C5   523.25 Hz")
	d.press("<", "a").see("2 paths, 2 pipes")
}

func TestAKeyOfTheUsersOwnPlaysAndTheOldOneDoesNot(t *testing.T) {
	keys, findings := ParseKeys("keys", []byte("format: 1\n# mine\nP note c\na none\nDelete let-go\n"))
	require.Empty(t, findings)
	d := drive(t, New(threeManuals(t), Options{Keys: keys}), Outside{})
	d.press("a", "P").count("●", 1)
	d.press("Delete").count("●", 0).see("all keys are let go")
}

func TestOneKeyLetsAllGo(t *testing.T) {
	d := play(t).press("a", "s", "d", ">", "a", "g").count("●", 5)
	d.find("sostenuto").press("Enter").see("■ Sostenuto")
	d.press("Backspace").count("●", 0).see("· Sostenuto")
}

func TestTheMouseHoldsAKeyWhileItsButtonIsDown(t *testing.T) {
	d := play(t).find("gedackt").press("Enter")
	x, naturals := d.place("C4═") // stands below the naturals
	naturals--
	d.mouse(x, naturals, true).count("●", 1).see("Positive C4", "C4   261.63")
	d.mouse(x+2, naturals, true).count("●", 1).see("Positive D4", "D4   293.66").miss("C4   261.63")
	d.mouse(x+2, naturals, false).count("●", 0)
}

// With a mouse alone a chord is held, and a piston looked at before it is pressed.
func TestTheSecondButtonHoldsAKeyAndLooksAtThings(t *testing.T) {
	d := play(t).find("gedackt").press("Enter")
	x, y := d.place("C4═") // stands below the naturals
	for _, at := range []int{x, x + 4} {
		d.inputs <- Input{Mouse: &Mouse{X: at, Y: y - 1, Look: true}}
		d.inputs <- Input{Mouse: &Mouse{X: at + 1, Y: y - 1, Look: true}}
		d.mouse(at+1, y-1, false)
	}
	d.count("●", 2).see("2 paths, 2 pipes")
	d.inputs <- Input{Mouse: &Mouse{X: x, Y: y - 1, Look: true}}
	d.mouse(x, y-1, false).count("●", 1)
	x, y = d.place("[Tutti]")
	d.inputs <- Input{Mouse: &Mouse{X: x, Y: y, Look: true}}
	d.mouse(x, y, false).see("Tutti (tutti): Enter turns 5 on", "· tutti")
}

func TestTheMouseDrawsStopsAndPressesButtons(t *testing.T) {
	d := play(t)
	x, y := d.place("Gedackt 8")
	d.mouse(x, y, true).mouse(x, y, false).see("■ Gedackt 8")
	x, y = d.place("[Tutti]")
	d.mouse(x, y, true).mouse(x, y, false).see("[Tutti]●", "● tutti", "+ Octave 4")
	d.mouse(x, y, true).mouse(x, y, false).see("· tutti")
	x, y = d.place("2 why")
	d.mouse(x, y, true).mouse(x, y, false).see("[2 why]")
}

func TestTheMouseMovesAShoe(t *testing.T) {
	d := play(t)
	x, y := d.place("0/16")
	d.mouse(x-13, y, true).mouse(x-2, y, true).see("16/16")
	d.mouse(x-13, y, true).mouse(x-13, y, false).see("0/16")
	d.mouse(x-2, y, true).mouse(x-2, y, false).see("16/16")
}

func TestTheFindLineGoesToWhatItNames(t *testing.T) {
	d := play(t).press("/", "o", "c", "t").see("find: oct_   1 of 5: Octave 4 (swell-octave-4-stop)")
	d.press("Down").see("2 of 5").press("Up", "Enter", "Enter").see("■ Octave 4")
	d.press("/", "x", "y", "z").see("nothing").press("Enter").see("nothing is called xyz")
	d.find("general 3").see("general 3 (general-3)")
	d.find("tutti").see("Tutti (tutti): Enter turns 5 on")
}

func TestHelpListsEveryKey(t *testing.T) {
	m := New(threeManuals(t), Options{})
	text := ""
	for _, l := range m.helpLines() {
		require.LessOrEqual(t, width(l.text), SmallestWidth, l.text)
		text += l.text + "\n"
	}
	for key := range DefaultKeys() {
		require.Regexp(t, `(?m)^  (?:\S+ )*`+regexp.QuoteMeta(key)+` `, text)
	}
	d := drive(t, m, Outside{}).press("?").see("The keys of the desk", "let all keys go")
	d.press("Esc").miss("The keys of the desk").see("Three Manuals")
}

func TestShoesCrescendoMemoryAndTransposerTurnByStages(t *testing.T) {
	d := play(t).find("swell shoe").press("+").see("1/16").press("-").see("0/16")
	d.find("crescendo").press("+", "+").see("crescendo 2/5", "+ Gedackt 8", "+ Harmonic Flute 8")
	d.press("-").see("crescendo 1/5", "· Harmonic Flute 8")
	d.find("memory").press("+", "+").see("memory 3/20").press("-").see("memory 2/20")
	d.find("transposer").press("+").see("transpose +1").press("-", "-").see("transpose -1")
	d.find("speed").press("+").see("its speed 2/2").press("+").see("its speed 1/2")
}

func TestArrowsAndTabWalk(t *testing.T) {
	d := play(t).see("Positive C4").press("Right").see("Positive C♯4").press("Left", "Left").see("Positive B3")
	d.press("Home").see("Positive C2").press("End").see("Positive C7").press("PgUp").see("Great C4").press("PgDn").see("Positive C7")
	d.press("Home", "Up").see("Swell to Positive 8").press("Up").see("Blockflute 2").press("Up", "Right").see("Salicional 8")
	d.press("Tab").see("Swell to Positive 8").press("Tab").see("Positive C2").press("Tab").see("Set (set)").press("Down").see("Resonance 32")
	d.press("Shift-Tab").see("Set (set)")
	d.press("/", "o", "b", "o").see("Oboe 8").press("Esc").see("Set (set)")
}

func TestThePaneScrollsAndGoes(t *testing.T) {
	d := play(t).find("tutti").press("Enter", ">", "a", "s", "d", "f", "g", "h", "q", "w", "e", "r", "t", "y").see("paths, ", "great-principal-8")
	d.inputs <- Input{Resize: true, W: 160, H: 24}
	d.press("]").miss("great-principal-8").press("[").see("great-principal-8")
	d.press("0").miss("1 sounding").press("1").see("[1 sounding]")
}

func TestTheBackgroundIsLightOrDark(t *testing.T) {
	d := play(t).press("F9")
	d.until("colours for a light background", func(*Grid) bool { return d.light })
	d.press("F9").until("colours for a dark one", func(*Grid) bool { return !d.light })
}

func TestSetCapturesAndAPistonRecalls(t *testing.T) {
	d := play(t).find("gedackt").press("Enter").press("x").see("● set")
	d.find("general 1").press("Enter").see("captured 1/general-1, only until you quit: no --memory FILE was given")
	d.press("x").see("· set").find("cancel").press("Enter").see("· Gedackt 8")
	d.find("general 1").press("Enter").see("■ Gedackt 8", "[1]●")
	d.press("z").see("undone")
}

func TestQuitting(t *testing.T) {
	for key, interrupted := range map[string]bool{"Ctrl-Q": false, "F10": false, "Ctrl-C": true} {
		d := drive(t, New(threeManuals(t), Options{}), Outside{Clock: midiio.NewClock()})
		d.press("a", key)
		require.Equal(t, interrupted, <-d.ended)
		d.ended <- true
	}
}
