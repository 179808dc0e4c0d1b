package midiio

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// comes waits until a text is the last that came, and returns all that did.
func comes(t *testing.T, in *Input, last string) (list []string) {
	t.Helper()
	for len(list) == 0 || list[len(list)-1] != last {
		select {
		case <-in.Ready():
		case <-time.After(10 * time.Second):
			require.Fail(t, "nothing comes", "%s is not the last of %v", last, list)
		}
		list = append(list, texts(in.Take().Messages)...)
	}
	return list
}

// A pseudo-terminal that is closed is a serial line that is unplugged: the
// device and its name are gone, and come back.
func TestAnInputThatIsUnpluggedSaysSoAndIsFoundAgain(t *testing.T) {
	link := filepath.Join(t.TempDir(), "organ")
	far := must(Open("pty:"+link, Out))
	in, err := ListenTo("serial:"+link, NewClock())
	require.NoError(t, err)
	_, err = far.Write([]byte{0x90, 60, 64, 0x91, 36})
	require.NoError(t, err)
	comes(t, in, "note-on 1 60/C4 64")
	require.NoError(t, far.Close())
	require.Equal(t, []string{"unfinished 91 24", "port-gone"}, comes(t, in, "port-gone"))

	far = must(Open("pty:"+link, Out))
	comes(t, in, "port-back")
	_, err = far.Write([]byte{0x90, 62, 64})
	require.NoError(t, err)
	require.Equal(t, []string{"note-on 1 62/D4 64"}, comes(t, in, "note-on 1 62/D4 64"))
	require.NoError(t, far.Close())
	comes(t, in, "port-gone")
	require.NoError(t, in.Close()) // while the port is away
	for !in.Take().Closed {
		<-in.Ready()
	}
}

func TestAnOutputThatIsUnpluggedIsFoundAgainAndToldWhatStands(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	link := filepath.Join(t.TempDir(), "organ")
	clock := NewClock()
	heard := Listen(must(Open("pty:"+link, In)), clock)
	out, err := TalkTo("serial:"+link+"@115200", 0, clock)
	require.NoError(t, err)
	told := make(chan error, 2)
	out.Return("serial:"+link, func(gone error) { told <- gone })
	send := func(texts ...string) {
		for _, text := range texts {
			m, err := ParseMessage(text)
			require.NoError(t, err)
			out.Send(m)
		}
	}
	send("control-change 1 7 90", "note-on 1 60 64", "note-on 1 62 64", "note-off 1 62 64", "program-change 2 3")
	comes(t, heard, "program-change 2 3")
	require.NoError(t, heard.Close())

	send("control-change 1 7 80") // finds the port gone
	require.Error(t, <-told)
	send("note-on 1 64 64", "note-off 1 60 64", "control-change 1 11 1", "timing-clock")
	heard = Listen(must(Open("pty:"+link, In)), clock)
	require.NoError(t, <-told)
	require.Equal(t, []string{"note-off 1 60/C4 64", "note-off 1 64/E4 64", "control-change 1 123 0", "control-change 1 120 0",
		"program-change 2 3", "control-change 1 7 80", "control-change 1 11 1"}, comes(t, heard, "control-change 1 11 1"))
	require.NoError(t, out.Close())
	require.NoError(t, heard.Close())
}

func TestAnOutputThatIsClosedWhileItsPortIsAwaySaysSoAndTheNextProgramReleasesTheKey(t *testing.T) {
	cache := t.TempDir()
	t.Setenv("XDG_CACHE_HOME", cache)
	link := filepath.Join(t.TempDir(), "organ")
	clock := NewClock()
	heard := Listen(must(Open("pty:"+link, In)), clock)
	out, err := TalkTo("serial:"+link, 0, clock)
	require.NoError(t, err)
	told := make(chan error, 2)
	out.Return("serial:"+link, func(gone error) { told <- gone })
	out.Send(NoteOn(16, 36, 64))
	comes(t, heard, "note-on 16 36/C2 64")
	require.NoError(t, heard.Close())
	out.Send(NoteOff(16, 36))
	require.Error(t, <-told)
	require.ErrorIs(t, out.Close(), errAway)

	heard = Listen(must(Open("pty:"+link, In)), clock)
	out, err = TalkTo("serial:"+link, 0, clock)
	require.NoError(t, err)
	require.Equal(t, 1, out.Left)
	require.Equal(t, []string{"note-off 16 36/C2 64", "control-change 16 123 0", "control-change 16 120 0"}, comes(t, heard, "control-change 16 120 0"))
	require.NoError(t, out.Close())
	require.NoError(t, heard.Close())
	left, err := os.ReadDir(filepath.Join(cache, "trundle", "held"))
	require.NoError(t, err)
	require.Empty(t, left)
}
