package midiio

import (
	"io"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/midiio/alsa"
)

// reads is a port that gives what it has, one a read: bytes, or an error.
type reads []any

func (r *reads) Read(p []byte) (int, error) {
	if len(*r) == 0 {
		return 0, io.EOF
	}
	next := (*r)[0]
	*r = (*r)[1:]
	if err, failed := next.(error); failed {
		return 0, err
	}
	return copy(p, next.([]byte)), nil
}

func (*reads) Write(p []byte) (int, error) { return len(p), nil }
func (*reads) Close() error                { return nil }
func (*reads) ByteTime() time.Duration     { return 0 }

// What was begun before a loss does not go on behind it, and the port does.
func TestWhatTheSystemLosesIsToldWhereItIsMissing(t *testing.T) {
	port := &reads{[]byte{0x90, 60, 64, 61}, alsa.LostError{Bytes: 7}, []byte{65, 0x90, 62, 66}}
	in := Listen(port, NewClock())
	require.Equal(t, []string{"note-on 1 60/C4 64", "unfinished 90 3D", "port-overrun", "no-status 41", "note-on 1 62/D4 66"}, texts(take(t, in, 10)))
}

// A reader that is slow learns of it all the same.
func TestAFullQueueLosesNothingThatAPortTellsOfItself(t *testing.T) {
	var q queue
	for range queueSize + 1 {
		q.put(Timed{0, NoteOn(1, 60, 64)})
	}
	for _, kind := range []Kind{Overrun, Gone, Back} {
		q.put(Timed{0, Message{Kind: kind, Status: sysEx}})
	}
	var told []string
	for _, m := range q.list[queueSize:] {
		told = append(told, m.Message.String())
	}
	require.Equal(t, []string{"port-overrun", "port-gone", "port-back"}, told)
	require.Equal(t, 1, q.dropped)
}
