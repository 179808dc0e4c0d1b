package mapping

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/midiio"
)

func TestNotesOfKeysAreToldFromNotesOfControls(t *testing.T) {
	_, m := load(t, "")
	require.True(t, m.IsKey(midiio.NoteOn(1, 60, 64)))
	require.False(t, m.IsKey(midiio.NoteOn(1, 20, 64)))      // below the compass
	require.False(t, m.IsKey(midiio.NoteOn(16, 0, 127)))     // the first control
	require.False(t, m.IsKey(midiio.ControlChange(1, 4, 0))) // a shoe
}

// The port says that it is gone: keys let go, controls stay.
func TestAPortThatIsGoneHoldsNoKeys(t *testing.T) {
	_, m := load(t, "")
	end := m.End(AtOrgan, "hardware")
	for _, message := range []midiio.Message{midiio.NoteOn(1, 60, 64), midiio.NoteOn(16, 0, 127)} {
		require.Len(t, end.Hear(midiio.Timed{At: time.Second, Message: message}).Events, 1)
	}
	heard := end.Hear(midiio.Timed{At: time.Second, Message: midiio.Message{Kind: midiio.Gone}})
	require.True(t, heard.Known)
	require.Equal(t, []Signal{{Thing{Kind: Key, Index: 0, Note: 60}, 0}}, heard.Signals)
	require.Len(t, heard.Events, 1)
}
