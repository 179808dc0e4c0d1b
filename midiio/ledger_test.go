package midiio

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/require"
)

// killed is a port of a program that is killed at its n-th write.
type killed struct {
	Port
	writes int
}

var errKilled = errors.New("killed")

func (k *killed) Write([]byte) (int, error) {
	if k.writes--; k.writes < 0 {
		return 0, errKilled
	}
	return 1, nil
}

// Whenever a program is killed, the next finds every key that was sent, or may
// have been, and whose end was not.
func TestALedgerKnowsWhatAKilledProgramLeftOn(t *testing.T) {
	stream := [][]byte{{0x90, 60}, {64}, {0x91, 127, 1, 0, 1}, {0x90, 60, 0}, {0xB1, 123, 0}}
	for writes, want := range [][]string{
		nil,
		{"note-off 1 60/C4 64"},
		{"note-off 1 60/C4 64", "note-off 2 0/C-1 64", "note-off 2 127/G9 64"},
		{"note-off 1 60/C4 64", "note-off 2 0/C-1 64", "note-off 2 127/G9 64"},
		{"note-off 2 0/C-1 64", "note-off 2 127/G9 64"},
		nil,
	} {
		t.Setenv("XDG_CACHE_HOME", t.TempDir())
		l, left := openLedger("serial:/dev/x*y@31250")
		require.NotNil(t, l.file)
		require.False(t, left.Any())
		_, other := openLedger("serial:/dev/x*y@31250")
		require.False(t, other.Any()) // ours is locked
		port := &killed{writes: writes}
		for _, bytes := range stream {
			if l.write(port, bytes, nil) != nil {
				break
			}
		}
		require.NoError(t, l.file.Close()) // as the system does
		again, left := openLedger("serial:/dev/x*y@31250")
		var got []string
		for _, m := range left.offs() {
			got = append(got, m.String())
		}
		require.Equal(t, want, got)
		require.Equal(t, len(want), left.Count())
		again.close()
	}
}

func TestWithoutAPlaceForALedgerThereIsNone(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", "")
	t.Setenv("HOME", "")
	l, left := openLedger("midi:x")
	require.False(t, left.Any())
	here, there := Pair(8)
	require.NoError(t, l.write(here, []byte{0x90}, nil))
	got := make([]byte, 8)
	n, err := there.Read(got)
	require.NoError(t, err)
	require.Equal(t, []byte{0x90}, got[:n])
	l.close()
}
