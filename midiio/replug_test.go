package midiio

import (
	"io"
	"testing"

	"github.com/stretchr/testify/require"
)

// lost is a port that is gone when it is written to, and says when it is closed.
type lost struct {
	Port
	closed chan struct{}
}

func (lost) Write([]byte) (int, error) { return 0, io.ErrClosedPipe }

func (l lost) Close() error {
	close(l.closed)
	return nil
}

func TestAPortThatComesBackAfterItsOutputWasClosedIsClosedToo(t *testing.T) {
	gone, back := lost{nil, make(chan struct{})}, lost{nil, make(chan struct{})}
	here, _ := Pair(64)
	gone.Port, back.Port = here, here
	out := Talk(gone, 0, NewClock())
	away, looked := make(chan error, 1), make(chan struct{})
	out.reopen = func() (Port, error) {
		<-looked
		return nil, io.EOF
	}
	out.Return("serial:organ", func(gone error) { away <- gone })
	out.Send(NoteOn(1, 60, 64))
	require.ErrorIs(t, <-away, io.ErrClosedPipe)
	<-gone.closed
	require.ErrorIs(t, out.Close(), errAway)
	close(looked)
	require.False(t, out.resume(back, Keys{}))
	<-back.closed
}
