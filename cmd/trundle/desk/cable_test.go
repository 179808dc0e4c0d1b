package desk

import (
	"io"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/midiio"
	"trundle/midiio/mapping"
)

// wired drives a desk that has a keyboard on one port and an organ on another.
// What the organ hears comes from the function.
func wired(t *testing.T, says Says) (d *driver, keyboard io.Writer, organ func() []midiio.Message) {
	in := threeManuals(t)
	cables, findings := mapping.Load(in)
	require.NotNil(t, cables, "%v", findings)
	clock := midiio.NewClock()
	ours, theirs := midiio.Pair(1 << 12)
	there, here := midiio.Pair(1 << 16)
	heard, out, far := midiio.Listen(ours, clock), midiio.Talk(there, 0, clock), midiio.Listen(here, clock)
	t.Cleanup(func() { heard.Close(); out.Close(); far.Close() })
	d = drive(t, New(in, Options{Port: true, Map: cables, Says: says}), Outside{Clock: clock, Heard: heard, Out: out})
	var all []midiio.Message
	return d, theirs, func() []midiio.Message {
		for _, m := range far.Take().Messages {
			all = append(all, m.Message)
		}
		return all
	}
}

// hears waits until the organ has heard a message.
func hears(t *testing.T, organ func() []midiio.Message, text string) {
	t.Helper()
	want, err := midiio.ParseMessage(text)
	require.NoError(t, err)
	is := func(m midiio.Message) bool { return m.String() == want.String() }
	late := time.Now().Add(10 * time.Second)
	for !slices.ContainsFunc(organ(), is) {
		if time.Now().After(late) {
			require.FailNow(t, "not heard: "+text, "%v", organ())
		}
		time.Sleep(time.Millisecond)
	}
}

// 64 is the velocity of a sender that has none (MIDI 1.0). By the map that an instrument has when it gives none, its keyboards are the
// channels from 1 on, in the order of the file.
func TestAMIDIKeyboardPlaysAndTheOrganHearsIt(t *testing.T) {
	d, keyboard, organ := wired(t, AsConsole)
	_, err := keyboard.Write([]byte{0x90, 60, 100})
	require.NoError(t, err)
	d.count("●", 1).find("gedackt").press("Enter").see("1 path, 1 pipe")
	hears(t, organ, "note-on 1 60/C4 64")
	d.press("3").see("note-on 1 60/C4 100: positive C4", "→ note-on 1 60/C4 64: positive C4")
	_, err = keyboard.Write([]byte{0x80, 60, 0})
	require.NoError(t, err)
	d.count("●", 0)
	hears(t, organ, "note-on 1 60/C4 0")
}

// Pipes for a synthesizer are traffic as well.
func TestTrafficShowsThePipesThatAreSent(t *testing.T) {
	in := instrument(t, "../examples/saltmarsh/organ.yaml")
	cables, findings := mapping.Load(in)
	require.NotNil(t, cables, "%v", findings)
	head, _ := New(in, Options{Map: cables, Says: AsPipes}).trafficLines()
	require.Equal(t, "0 messages, 0 faults, 0 sent", head[0].text)
}

// A key that a hand latched and a keyboard holds sounds until both let go, and
// one key lets both go.
func TestLettingAllGoLetsTheMIDIKeyboardGoToo(t *testing.T) {
	d, keyboard, _ := wired(t, SaysNothing)
	_, err := keyboard.Write([]byte{0x90, 60, 100, 0x91, 62, 100})
	require.NoError(t, err)
	d.count("●", 2).press("a").press("a").count("●", 2)
	d.press("Backspace").count("●", 0)
}

func TestAKeyboardThatGoesAwayLetsGo(t *testing.T) {
	d, keyboard, _ := wired(t, SaysNothing)
	_, err := keyboard.Write([]byte{0x90, 60, 100})
	require.NoError(t, err)
	d.count("●", 1)
	require.NoError(t, keyboard.(io.Closer).Close())
	d.count("●", 0)
}

// Programs and bends come first; a pipe is a note for as long as it speaks.
func TestASynthesizerHearsThePipes(t *testing.T) {
	d, _, organ := wired(t, AsPipes)
	hears(t, organ, "control-change 1 101 0")
	d.find("gedackt").press("Enter").press("a").count("●", 1)
	begun := func() (on, off int) {
		for _, m := range organ() {
			if m.StartsNote() {
				on++
			} else if m.EndsNote() {
				off++
			}
		}
		return on, off
	}
	require.Eventually(t, func() bool { on, off := begun(); return on == 1 && off == 0 }, 10*time.Second, time.Millisecond)
	d.press("Backspace").count("●", 0)
	require.Eventually(t, func() bool { on, off := begun(); return on == 1 && off == 1 }, 10*time.Second, time.Millisecond)
}

// By the default map a relay reports its valves; a desk in the place of one would
// send a keyboard some message for every valve that opens.
func TestADeskReportsNoValvesByTheDefaultMap(t *testing.T) {
	in := threeManuals(t)
	cables, _ := mapping.Load(in)
	require.True(t, cables.Default)
	said := func() (n int) {
		m := New(in, Options{Port: true, Map: cables, Says: AsOrgan})
		m.Messages()
		m.obeyMessage(midiio.Timed{Message: midiio.NoteOn(16, 0, 127)})
		m.obeyMessage(midiio.Timed{Message: midiio.NoteOn(1, 60, 127)})
		return len(m.Messages())
	}
	require.Zero(t, said())
	cables.Default = false
	require.Positive(t, said(), "as a section of the file would have it")
}
