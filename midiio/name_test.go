package midiio

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestANameOfAPortIsTheOneThatIsItOrTheOnlyOneThatHoldsIt(t *testing.T) {
	names := numbered([]string{"Organ", "USB Interface", "Organ", "Organ", "USB Console"})
	require.Equal(t, []string{"Organ", "USB Interface", "Organ#2", "Organ#3", "USB Console"}, names)
	for name, want := range map[string]int{"Organ": 0, "Organ#2": 2, "Organ#3": 3, "interface": 1, "USB Console": 4} {
		got, err := pick("midi", name, names)
		require.NoError(t, err)
		require.Equal(t, want, got)
	}
	for name, want := range map[string]string{
		"usb":     "midi:usb may be any of midi:USB Interface, midi:USB Console; name one of them",
		"organ":   "midi:organ may be any of midi:Organ, midi:Organ#2, midi:Organ#3; name one of them",
		"Organ#4": "no MIDI port midi:Organ#4; there are midi:Organ, midi:USB Interface, midi:Organ#2, midi:Organ#3, midi:USB Console",
	} {
		_, err := pick("midi", name, names)
		require.EqualError(t, err, want)
	}
	_, err := pick("raw", "Organ", nil)
	require.EqualError(t, err, "no MIDI port raw:Organ: there are none")
}
