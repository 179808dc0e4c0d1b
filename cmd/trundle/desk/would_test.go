package desk

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
)

// The bottom row says what the key would do now, not what it did the last time.
func TestTheBottomRowSaysWhatEnterWouldDoNow(t *testing.T) {
	d := play(t).see("Positive C4: Enter holds it").press("Enter").see("Positive C4: Enter lets it go").press("Enter").see("Enter holds it")
	d.find("gedackt").see("Enter draws it").press("Enter").see("Enter pushes it in").press("Enter").see("Enter draws it")
	d.find("tutti tutti").press("Enter").find("great-octave-4").see("+ Octave 4", "Enter draws it; crescendo or tutti has it on already")
	d.find("set set").see("Enter holds it until it is let go").press("Enter", "F12").see("Enter lets it go")
	d.find("general 1").see("general 1 (general-1): Enter captures what is drawn")
}

func TestASecondContactIsSaidBeforeItIsMade(t *testing.T) {
	in := parsed(t, "keyboards: {solo: {kind: manual, keys: C2..C7, touches: 2}}\ndivisions: {solo: {keyboard: solo, chest: unit}}\n"+
		"ranks: {flute: {division: solo, family: flute, feet: 8, pipes: 61}}\nstops: {flute-8: {division: solo, feet: 8, rank: flute}}\n")
	d := drive(t, New(in, Options{}), Outside{})
	d.see("Enter holds it").press("Enter").see("Enter holds it to its second contact").press("Enter").see("Enter lets it go")
}

// Of a piston it is said what would move before it is pressed. The figures are
// counted by hand: drawn are three stops, one of which the piston keeps.
func TestAPistonIsSaidBeforeItIsPressed(t *testing.T) {
	d := play(t).find("general 1").see("general-1 was never set in memory 1: nothing moves")
	d.find("gedackt").press("Enter").find("salicional").press("Enter").press("x").find("general 1").press("Enter", "x")
	d.see("set is let go").press("F12").see("general 1 (general-1): Enter changes nothing")
	d.find("salicional").press("Enter").find("oboe").press("Enter").find("cromorne").press("Enter")
	d.find("general 1").see("Enter draws 1, pushes 2 in").press("Enter", "F12").see("Enter changes nothing", "■ Salicional 8", "· Oboe 8", "· Cromorne 8")
	d.find("cancel").see("Cancel (cancel): Enter pushes 2 in")
}

// The tutti of these three manuals adds five controls; one is drawn already.
func TestTheTuttiIsSaidBeforeItIsPressed(t *testing.T) {
	in := threeManuals(t)
	require.Len(t, in.Tutti.Adds, 5)
	d := play(t).find("tutti tutti").see("Enter turns 5 on")
	d.press("Enter", "F12").see("Enter turns 5 off").press("Enter")
	m := New(in, Options{})
	m.do(console.Draw(in.Tutti.Adds[0]))
	m.moveTo(Item{Kind: TuttiItem})
	require.Equal(t, "tutti: Enter turns 4 on", m.where())
}

// Next presses the general behind the one that was pressed last.
func TestTheSequencerIsSaidBeforeItGoesOn(t *testing.T) {
	d := play(t).find("gedackt").press("Enter", "x").find("general 2").press("Enter", "x")
	d.find("general 1").press("Enter").find("next").see("presses 1/general-2")
	d.find("cancel").press("Enter").find("next").see("Enter presses 1/general-2, draws 1")
}

// What was refused is never cut, and of a path that is wider than the screen
// both ends are to be seen.
func TestARefusalIsReadWhole(t *testing.T) {
	folder := "/home/somebody/organs/" + strings.Repeat("a-folder-with-a-long-name/", 9)
	m := New(threeManuals(t), Options{})
	m.Written("", errors.New(folder+"chords.txt: exists already; take another name"))
	screen := screenOf(m)
	rows := strings.Split(strings.TrimRight(screen, "\n"), "\n")
	require.Len(t, rows, 24)
	said := strings.Join(rows[22:], " ")
	require.Contains(t, said, "/home/somebody/organs/a-folder")
	require.Contains(t, said, "chords.txt:")
	require.Contains(t, said, "exists already; take another name")
	require.NotContains(t, said, "held")

	m.Written("", errors.New("chords.txt: exists already; take another name, or take that file away before you write"))
	require.Contains(t, screenOf(m), "chords.txt: exists already; take another name, or take that file away before you\n  write\n")
	m.Written("", errors.New("chords.txt: exists already"))
	require.Contains(t, screenOf(m), "chords.txt: exists already                    ● held  ▼ moved  ◆ coupled  ? help")
}

// While a long name is typed, its end is in sight.
func TestTheEndOfALongNameIsSeenWhileItIsTyped(t *testing.T) {
	m := New(threeManuals(t), Options{})
	m.ask(askPath, strings.Repeat("folder/", 20))
	for _, key := range "mine.txt" {
		m.Key(0, string(key))
	}
	require.Contains(t, screenOf(m), "folder/mine.txt_\n")
}
