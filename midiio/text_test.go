package midiio

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestWhatIsNoMessageIsRefusedWithWhatToWrite(t *testing.T) {
	for text, want := range map[string]string{
		"":                        "a message is missing; write one like note-on 1 60/C4 100",
		"note-onn 1 60 100":       "no message note-onn; did you mean note-on?",
		"cc 1 7 12":               "no message cc; did you mean control-change?",
		"PC 1 3":                  "no message PC; did you mean program-change?",
		"program 1 3":             "no message program; did you mean program-change?",
		"clock":                   "no message clock; did you mean timing-clock?",
		"trumpet 1":               "no message trumpet; write one like note-on 1 60/C4 100",
		"note-on 0 60 100":        "note-on 0 60 100: 0 is not a channel from 1 to 16",
		"note-on 17 60 100":       "note-on 17 60 100: 17 is not a channel from 1 to 16",
		"note-on 1 128 100":       "note-on 1 128 100: 128 is not a key, like 60/C4, 60 or C4",
		"note-on 1 60/C5 100":     "note-on 1 60/C5 100: 60/C5 is not a key, like 60/C4, 60 or C4",
		"note-on 1 60/C4 128":     "note-on 1 60/C4 128: 128 is not a number from 0 to 127",
		"note-on 1 60/C4 -1":      "note-on 1 60/C4 -1: -1 is not a number from 0 to 127",
		"note-on 1 60":            "note-on 1 60: a number from 0 to 127 is missing",
		"timing-clock 1":          "timing-clock 1: 1 is one word too many",
		"pitch-bend 1 16384":      "pitch-bend 1 16384: 16384 is not a number from 0 to 16383",
		"sysex 7E 80":             "sysex 7E 80: 80 is not of data bytes in hex, 00 to 7F, without F0 and F7",
		"undefined F8":            "undefined F8: F8 is not a status byte in hex, like F4",
		"unfinished 90 3C 40":     "unfinished 90 3C 40: it is not one that lacks data",
		"program-change 1 0x10":   "program-change 1 0x10: 0x10 is not a number from 0 to 127",
		"control-change 1 7 1 12": "control-change 1 7 1 12: 12 is one word too many",
	} {
		_, err := ParseMessage(text)
		require.EqualError(t, err, want)
	}
}

func TestAKeyReadsByNumberOrByName(t *testing.T) {
	for _, text := range []string{"note-on 1 60/C4 100", "note-on 1 60 100", " note-on  1 C4 100 ", "note-on 1 C4/60 100", "note-on 1 60/B#3 100"} {
		m, err := ParseMessage(text)
		require.NoError(t, err)
		require.Equal(t, []byte{0x90, 0x3C, 0x64}, m.Bytes())
		require.Equal(t, "note-on 1 60/C4 100", m.String())
	}
}
