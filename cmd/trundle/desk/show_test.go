package desk

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/combination"
	"trundle/console"
	"trundle/midiio"
)

// A coupler at 4 foot adds the octave above of every key (the definition of
// couplers: a shift of 12 semitones).
func TestACouplerIsShownWithoutItWithItAndWhatItAdds(t *testing.T) {
	var path, text string
	kept := make(chan bool, 1)
	d := drive(t, New(threeManuals(t), Options{}), Outside{Write: func(p, s string) error { path, text = p, s; kept <- true; return nil }})
	d.find("harmonic").press("Enter").find("oboe").press("Enter", ">", "a", "d")
	d.find("swell to great 4").press("c")
	d.see("[show]", "held: Great C4 E4", "step 1 of 3: without it", "sounds: 2 pipes", "great-harmonic-flute-8: C4 E4", "· Swell to Great 4")
	d.press("n").see("step 2 of 3: with it", "sounds: 4 pipes", "swell-oboe-8: C5 E5", "■ Swell to Great 4").count("◆", 2)
	d.press("n").see("step 3 of 3: what it adds", "added: 2 pipes").miss("great-harmonic-flute-8: C4 E4")
	d.press("n").see("step 3 of 3").press("b").see("step 2 of 3")
	d.press("v").see("write to: swell-to-great-4.txt_").press("Enter").see("written to swell-to-great-4.txt")
	<-kept
	require.Equal(t, "swell-to-great-4.txt", path)
	require.Equal(t, strings.TrimPrefix(`
Three Manuals
Swell to Great 4 (swell-to-great-4)
held: Great C4 E4

without it
  sounds: 2 pipes
    great-harmonic-flute-8: C4 E4

with it
  sounds: 4 pipes
    great-harmonic-flute-8: C4 E4
    swell-oboe-8: C5 E5

what it adds
  added: 2 pipes
    swell-oboe-8: C5 E5
`, "\n"), text)
	d.press("Esc").see("· Swell to Great 4").miss("[show]")
}

func TestAPistonIsShownAndTheConsoleIsAsBeforeAfterwards(t *testing.T) {
	d := play(t).find("gedackt").press("Enter").find("salicional").press("Enter", "a")
	d.find("cancel").press("c").see("step 1 of 3", "sounds: 2 pipes").press("n").see("sounds: 0 pipes", "· Gedackt 8")
	d.press("n").see("taken away: 2 pipes", "positive-salicional-8: C4")
	d.press("Esc").see("■ Gedackt 8", "■ Salicional 8")
}

// Cancel drops the tutti too, and showing it gives that back.
func TestWhatWasShownLeavesTheTuttiAsItWas(t *testing.T) {
	for _, piston := range []string{"cancel", "tutti tutti"} {
		d := play(t).find("tutti tutti").press("Enter").see("● tutti", "+ Octave 4")
		d.press(">", "a").find(piston).press("c", "n").see("step 2 of 3").press("b", "n", "Esc").see("● tutti", "+ Octave 4")
	}
}

func TestNothingIsCapturedByShowing(t *testing.T) {
	play(t).press("x").find("general 1").press("c").see("set is held: a piston would capture").miss("[show]")
}

func TestWhatCannotBeShownSaysSo(t *testing.T) {
	play(t).press("c").see("put the cursor on a stop, a coupler or a piston to show what it does")
	play(t).press("n").see("nothing is shown")
	play(t).press("p").see("there is no script: begin with --script FILE")
}

func TestAFileThatCannotBeWrittenIsTold(t *testing.T) {
	d := drive(t, New(threeManuals(t), Options{}), Outside{Write: func(p, _ string) error { return errors.New(p + ": exists already") }})
	d.find("oboe").press("c", "v", "Enter").see("oboe-8-stop.txt: exists already")
}

// Where stops rob each other of a pipe: 8 and 16 foot of one rank, played in
// octaves.
func TestStopsThatRobEachOtherAreCounted(t *testing.T) {
	d := play(t).find("subbass").press("Enter").find("flute pedal 8").press("Enter", "<", ",", ",", "a", "j")
	d.see("4 paths, 3 pipes", "1 valve is wanted more than once", "13  C3    65.41 Hz  2 paths")
	d.press("2", "PgUp", "PgDn", "Home").see("Pedal C2", "Pedal C2 › Subbass 16", "Pedal C2 › Flute 8").miss("Pedal C3 › Subbass 16")
}

// The cursor goes into the pane, and on a pipe why it sounds.
func TestWhyAPipeSounds(t *testing.T) {
	d := play(t).find("subbass").press("Enter").find("flute pedal 8").press("Enter", "<", ",", ",", "a", "j")
	d.press("1").see("pedal-subbass-16:1").press("Down").see("pedal-subbass-16:13")
	d.press("Enter").see("[2 why]", "Pedal C2 › Flute 8", "Pedal C3 › Subbass 16").miss("Pedal C2 › Subbass 16")
}

func log(t *testing.T, in *console.Instrument, lines ...string) []console.Timed {
	t.Helper()
	timed, findings := console.ParseLog(in, "log", []byte(console.LogHead+"\n"+strings.Join(lines, "\n")))
	require.Empty(t, findings)
	return timed
}

func TestAScriptPlaysAtItsOwnPaceAndWaits(t *testing.T) {
	in := threeManuals(t)
	var now time.Duration
	clock := make(chan time.Duration, 1)
	clock <- 0
	read := func() time.Duration { now := <-clock; clock <- now; return now }
	to := func(at time.Duration) { <-clock; now = at; clock <- at }
	m := New(in, Options{Script: log(t, in, "1 draw positive-gedackt-8-stop", "2 key positive C4 down", "3 key positive C4 up", "4 key positive D4 down")})
	d := drive(t, m, Outside{Clock: read})
	d.see("script playing 0/4 next: draw positive-gedackt-8-stop")
	to(time.Second)
	d.press("F12").see("■ Gedackt 8", "script playing 1/4").count("●", 0)
	to(2500 * time.Millisecond)
	d.press("F12").count("●", 1).press("p").see("script paused 2/4")
	to(time.Hour)
	d.press("F12").see("script paused 2/4").press("n").see("3/4").count("●", 0)
	d.press("p").see("script playing 3/4")
	to(time.Hour + 900*time.Millisecond)
	d.press("F12").see("script playing 3/4")
	to(time.Hour + time.Second)
	d.press("F12").count("●", 1).press("F12").see("script ended 4/4")
	require.Positive(t, now)
}

// A script plays without being worked.
func TestAScriptGoesOnByItself(t *testing.T) {
	in := threeManuals(t)
	m := New(in, Options{Script: log(t, in, "0.01 draw positive-gedackt-8-stop", "0.02 key positive C4 down")})
	drive(t, m, Outside{}).see("1 path, 1 pipe")
}

// A capture is confirmed when it is on disk, and only then.
func TestACaptureIsConfirmedWhenItIsOnDisk(t *testing.T) {
	in := threeManuals(t)
	path := filepath.Join(t.TempDir(), "memory.yaml")
	file, memories, _, err := combination.Open(path, in)
	require.NoError(t, err)
	t.Cleanup(func() { file.Close() })
	d := drive(t, New(in, Options{Memories: memories, OnDisk: true}), Outside{File: file})
	d.find("gedackt").press("Enter", "x").find("general 1").press("Enter").see("captured 1/general-1")
	saved, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Contains(t, string(saved), "positive-gedackt-8-stop")

	// Another program takes the file's place: nothing is saved, which is told.
	require.NoError(t, os.WriteFile(path, []byte("format: 1\n"), 0o600))
	d.find("general 2").press("Enter").see("not saved, nothing changed").miss("captured 1/general-2")
}

// What comes from a MIDI port is shown as it is read, with what is wrong in it.
func TestTrafficIsShownDecoded(t *testing.T) {
	ours, theirs := midiio.Pair(1024)
	clock := midiio.NewClock()
	heard := midiio.Listen(ours, clock)
	t.Cleanup(func() { heard.Close() })
	d := drive(t, New(threeManuals(t), Options{Port: true}), Outside{Clock: clock, Heard: heard})
	d.press("3").see("0 messages, 0 faults")
	_, err := theirs.Write([]byte{0x90, 60, 100, 0xF4, 0xB0, 7, 127})
	require.NoError(t, err)
	d.see("2 messages, 1 fault", "note-on 1 60/C4 100", "! undefined: status F4 has no", "control-change 1 7 127")
	require.NoError(t, theirs.Close())
	d.see("the port")
}

func TestTrafficGoesBackAThousandMessages(t *testing.T) {
	m := New(threeManuals(t), Options{Port: true})
	for i := range 1200 {
		m.Hear(0, midiio.Taken{Messages: []midiio.Timed{{At: time.Duration(i) * time.Millisecond, Message: midiio.ControlChange(1, 7, byte(i%128))}}})
	}
	m.toPane(TrafficPane)
	list := m.listing()
	require.Equal(t, "1200 messages, 0 faults", m.paneLine(list, 0).text)
	require.Equal(t, 1+mostTraffic, list.len())
	require.Contains(t, m.paneLine(list, 1).text, "1.199  control-change")
	require.Contains(t, m.paneLine(list, mostTraffic).text, "0.200  control-change")
}
