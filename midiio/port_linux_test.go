package midiio

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// A pseudo-terminal is the other end of a serial line: bytes of every value
// pass in both directions, at MIDI's rate and at another.
func TestASerialLineAndAPseudoTerminalPassAllBytes(t *testing.T) {
	link := filepath.Join(t.TempDir(), "organ")
	far, err := Open("pty:"+link, Out)
	require.NoError(t, err)
	_, err = Open("pty:"+link, Out)
	require.EqualError(t, err, link+": no link can be made there: something has this name; if it is the link of another program, name it as serial:"+link)
	for _, name := range []string{"serial:" + link, "serial:" + link + "@38400"} {
		near, err := Open(name, In)
		require.NoError(t, err)
		for _, ends := range [][2]Port{{near, far}, {far, near}} {
			every := make([]byte, 0, 256)
			for b := range 256 {
				every = append(every, byte(b))
			}
			n, err := ends[0].Write(every)
			require.NoError(t, err)
			require.Equal(t, len(every), n)
			var got []byte
			for len(got) < len(every) {
				buffer := make([]byte, 256)
				n, err := ends[1].Read(buffer)
				require.NoError(t, err)
				got = append(got, buffer[:n]...)
			}
			require.Equal(t, every, got)
		}
		require.NoError(t, near.Close())
	}
	require.Equal(t, 320_000, int(must(Open("serial:"+link, In)).ByteTime()))
	require.NoError(t, far.Close())
	require.NoFileExists(t, link)
}

// Nobody reads the other end: what fits the kernel's buffer is taken, and
// closing still comes to an end.
func TestAPseudoTerminalThatNobodyReadsStopsNobody(t *testing.T) {
	link := filepath.Join(t.TempDir(), "organ")
	far, err := Open("pty:"+link, Out)
	require.NoError(t, err)
	clock := NewClock()
	out := Talk(far, 0, clock)
	for range 20 {
		out.Send(SysEx(make([]byte, 4000)))
	}
	full, cancel := context.WithTimeout(context.Background(), 200*time.Millisecond)
	defer cancel()
	require.ErrorIs(t, out.Drain(full), context.DeadlineExceeded)
	out.Send(NoteOn(1, 60, 64))
	require.ErrorIs(t, out.Close(), errStuck)
	_, err = os.Lstat(link)
	require.ErrorIs(t, err, os.ErrNotExist)
}

func TestAnInputEndsWhenItsPortIsClosed(t *testing.T) {
	link := filepath.Join(t.TempDir(), "organ")
	far, err := Open("pty:"+link, In)
	require.NoError(t, err)
	clock := NewClock()
	in := Listen(far, clock)
	out := Talk(must(Open("file:"+link, Out)), 0, clock)
	out.Send(NoteOn(1, 60, 64))
	require.NoError(t, out.Drain(context.Background()))
	require.Equal(t, []string{"note-on 1 60/C4 64"}, texts(take(t, in, 1)))
	require.NoError(t, out.Close())
	require.NoError(t, in.Close())
	for !in.Take().Closed {
		<-in.Ready()
	}
}
