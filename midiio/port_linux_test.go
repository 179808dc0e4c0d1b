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

// A program that is killed leaves its link. Of some that find it one has the name
// then; a link that leads elsewhere is left alone.
func TestALinkOfAKilledProgramIsReplaced(t *testing.T) {
	dir := t.TempDir()
	left, elsewhere, another := filepath.Join(dir, "left"), filepath.Join(dir, "elsewhere"), filepath.Join(dir, "another")
	require.NoError(t, os.Symlink("/dev/pts/4000000", left))
	require.NoError(t, os.Symlink(filepath.Join(dir, "nowhere"), elsewhere))
	require.NoError(t, os.Symlink("/dev/pts/ptmx", another)) // which is there
	_, err := Open("serial:"+left, In)
	require.EqualError(t, err, left+": cannot be opened: it is not there; plug it in, or start the program at its other end (pty:"+left+") first")
	for _, link := range []string{elsewhere, another} {
		_, err := Open("pty:"+link, Out)
		require.ErrorContains(t, err, "something has this name")
	}
	const programs = 8
	opened := make(chan Port, programs)
	for range programs {
		go func() {
			port, _ := Open("pty:"+left, Out)
			opened <- port
		}()
	}
	var has []Port
	for range programs {
		if port := <-opened; port != nil {
			has = append(has, port)
		}
	}
	require.Len(t, has, 1)
	to, err := os.Readlink(left)
	require.NoError(t, err)
	require.Equal(t, has[0].(*pty).other.Name(), to)
	require.NoError(t, has[0].Close())
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.Len(t, entries, 2)

	require.NoError(t, os.Symlink("/dev/pts/0", left))
	require.NoError(t, makeLink("/dev/pts/0", left), "the number was given again, to us")
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
