package alsa

import (
	"encoding/hex"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The events are written out by the kernel's header sound/asequencer.h (struct
// snd_seq_event, on a machine whose numbers begin with the low byte): kind, flags,
// tag, queue, time, source, destination, data. TestInAGuest holds them to the
// kernel itself.
const toWhoeverIsConnected = "00fd" + "0000000000000000" + "0005" + "fefd"

var known = map[string]struct{ message, event string }{
	"note on":                {"903c40", "0600" + toWhoeverIsConnected + "003c40000000000000000000"},
	"note off":               {"823c00", "0700" + toWhoeverIsConnected + "023c00000000000000000000"},
	"key pressure":           {"af007f", "0800" + toWhoeverIsConnected + "0f007f000000000000000000"},
	"controller":             {"b1077f", "0a00" + toWhoeverIsConnected + "01000000070000007f000000"},
	"program":                {"c305", "0b00" + toWhoeverIsConnected + "030000000000000005000000"},
	"pressure":               {"d041", "0c00" + toWhoeverIsConnected + "000000000000000041000000"},
	"bend in the middle":     {"e00040", "0d00" + toWhoeverIsConnected + "000000000000000000000000"},
	"bend down":              {"e00000", "0d00" + toWhoeverIsConnected + "000000000000000000e0ffff"},
	"bend up":                {"e07f7f", "0d00" + toWhoeverIsConnected + "0000000000000000ff1f0000"},
	"song position":          {"f20102", "1400" + toWhoeverIsConnected + "000000000000000001010000"},
	"song select":            {"f303", "1500" + toWhoeverIsConnected + "000000000000000003000000"},
	"quarter frame":          {"f174", "1600" + toWhoeverIsConnected + "000000000000000074000000"},
	"tune request":           {"f6", "2800" + toWhoeverIsConnected + "000000000000000000000000"},
	"clock":                  {"f8", "2400" + toWhoeverIsConnected + "000000000000000000000000"},
	"start":                  {"fa", "1e00" + toWhoeverIsConnected + "000000000000000000000000"},
	"continue":               {"fb", "1f00" + toWhoeverIsConnected + "000000000000000000000000"},
	"stop":                   {"fc", "2000" + toWhoeverIsConnected + "000000000000000000000000"},
	"active sensing":         {"fe", "2a00" + toWhoeverIsConnected + "000000000000000000000000"},
	"reset":                  {"ff", "2900" + toWhoeverIsConnected + "000000000000000000000000"},
	"system exclusive":       {"f07e7f0601f7", "8204" + toWhoeverIsConnected + "060000000000000000000000" + "f07e7f0601f7"},
	"system exclusive's end": {"0102f7", "8204" + toWhoeverIsConnected + "030000000000000000000000" + "0102f7"},
}

func TestMessagesAreTheKernelsEvents(t *testing.T) {
	for name, c := range known {
		t.Run(name, func(t *testing.T) {
			message := unhex(c.message)
			sent, err := appendEvents(nil, 5, message)
			require.NoError(t, err)
			require.Equal(t, c.event, hex.EncodeToString(sent)[:len(c.event)])
			heard, rest, err := nextEvent(sent)
			require.NoError(t, err)
			require.Empty(t, rest)
			require.Equal(t, message, heard.appendMIDI(nil))
		})
	}
}

// What only libraries send: 14 bits in one event are the controllers that MIDI
// 1.0 has for them.
func TestEventsOf14BitsAreSeveralMessages(t *testing.T) {
	for name, c := range map[string]struct{ event, messages string }{
		"a controller":              {"0e00" + toWhoeverIsConnected + "020000000700000085010000", "b20703 b22705"},
		"an unregistered parameter": {"0f00" + toWhoeverIsConnected + "000000008101000002020000", "b06303 b06201 b00604 b02602"},
		"a registered parameter":    {"1000" + toWhoeverIsConnected + "000000000100000002020000", "b06500 b06401 b00604 b02602"},
		"an echo is no MIDI":        {"3200" + toWhoeverIsConnected + "000000000000000000000000", ""},
	} {
		t.Run(name, func(t *testing.T) {
			heard, _, err := nextEvent(unhex(c.event))
			require.NoError(t, err)
			require.Equal(t, strings.ReplaceAll(c.messages, " ", ""), hex.EncodeToString(heard.appendMIDI(nil)))
		})
	}
}

func TestLongSystemExclusiveGoesInParts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		message := append([]byte{0xF0}, rapid.SliceOfN(rapid.ByteMax(0x7F), 0, 1000).Draw(t, "body")...)
		sent, err := appendEvents(nil, 0, append(message, 0xF7))
		require.NoError(t, err)
		var heard []byte
		for len(sent) > 0 {
			var e event
			e, sent, err = nextEvent(filled(sent))
			require.NoError(t, err)
			require.LessOrEqual(t, len(e.Body), sysExPart)
			heard = e.appendMIDI(heard)
		}
		require.Equal(t, append(message, 0xF7), heard)
	})
}

// filled has the body of the first event filled up, as the kernel gives it to
// a reader; from a writer it takes it as it is.
func filled(sent []byte) []byte {
	n := eventSize + int(sent[16]) + int(sent[17])<<8
	gap := (eventSize - n%eventSize) % eventSize
	return append(append(append([]byte{}, sent[:n]...), make([]byte, gap)...), sent[n:]...)
}

func TestWhatIsNoWholeMessageIsRefused(t *testing.T) {
	for _, message := range []string{"90", "903c", "903c4000", "c0", "f2", "f201", "f4", "f5", "f9", "fd", "f800"} {
		_, err := appendEvents(nil, 0, unhex(message))
		require.EqualError(t, err, "the sequencer carries whole MIDI messages only", message)
	}
}

func FuzzEvents(f *testing.F) {
	for _, c := range known {
		f.Add(unhex(c.event))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		for len(data) > 0 {
			e, rest, err := nextEvent(data)
			if err != nil {
				return
			}
			require.Less(t, len(rest), len(data))
			e.appendMIDI(nil)
			data = rest
		}
	})
}

func unhex(text string) []byte {
	data, err := hex.DecodeString(text)
	if err != nil {
		panic(err)
	}
	return data
}
