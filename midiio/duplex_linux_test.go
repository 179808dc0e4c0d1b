package midiio

import (
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// A serial line takes one program only, which reads and writes it; after it was
// pulled out and put back, it does both again.
func TestALineIsReadAndWrittenAtOnce(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	link := filepath.Join(t.TempDir(), "organ")
	far, err := Open("pty:"+link, Out)
	require.NoError(t, err)
	in, out, err := ListenAndTalk("serial:"+link, "serial:"+link, 0, NewClock())
	require.NoError(t, err)
	require.Equal(t, DIN, in.ByteTime())
	gone := make(chan error, 10)
	out.Return("serial:"+link, func(err error) { gone <- err })
	heard := func(want ...string) {
		t.Helper()
		var got []string
		for len(got) < len(want) {
			select {
			case <-in.Ready():
			case <-time.After(20 * time.Second):
				require.Fail(t, "nothing is heard")
			}
			for _, m := range in.Take().Messages {
				got = append(got, m.Message.String())
			}
		}
		require.Equal(t, want, got)
	}
	both := func(key byte, name string) {
		t.Helper()
		out.Send(NoteOn(1, key, 1))
		b := make([]byte, 3)
		n, err := far.Read(b[:1]) // of what is written with a pause between the bytes
		require.NoError(t, err)
		for n < 3 {
			more, err := far.Read(b[n:])
			require.NoError(t, err)
			n += more
		}
		require.Equal(t, []byte{0x90, key, 1}, b)
		_, err = far.Write([]byte{0x90, key, 2})
		require.NoError(t, err)
		heard("note-on 1 " + name + " 2")
	}
	both(60, "60/C4")
	require.NoError(t, far.Close())
	heard("port-gone")
	far, err = Open("pty:"+link, Out)
	require.NoError(t, err)
	heard("port-back")
	out.Send(NoteOff(1, 60)) // it learns by writing that the line is another
	require.Error(t, <-gone)
	require.NoError(t, <-gone)
	b := make([]byte, 64)
	n, err := far.Read(b)
	require.NoError(t, err)
	require.Equal(t, byte(0x80), b[0], "%X", b[:n])
	require.NoError(t, in.Close())
	require.NoError(t, out.Close())
	require.NoError(t, far.Close())
}
