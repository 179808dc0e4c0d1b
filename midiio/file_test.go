package midiio_test

import (
	"encoding/hex"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/midiio"
)

// The example file of the Standard MIDI File specification 1.0 (RP-001),
// format 0: 81 bytes.
const exampleFormat0 = `4D546864 00000006 0000 0001 0060
	4D54726B 0000003B
	00FF580404021808 00FF510307A120 00C005 00C12E 00C246
	00923060 003C60 60914340 60904C20
	814082304000 3C40 0081434000 804C40 00FF2F00`

// The same piece in format 1: 118 bytes, four tracks (from memory; its byte
// counts and timing were checked with midicsv).
const exampleFormat1 = `4D546864 00000006 0001 0004 0060
	4D54726B 00000014 00FF580404021808 00FF510307A120 8300FF2F00
	4D54726B 00000010 00C005 8140904C20 81404C00 00FF2F00
	4D54726B 0000000F 00C12E 60914340 82204300 00FF2F00
	4D54726B 00000015 00C246 00923060 003C60 83003000 003C00 00FF2F00`

func bytesOf(t *testing.T, text string) []byte {
	data, err := hex.DecodeString(strings.Join(strings.Fields(text), ""))
	require.NoError(t, err)
	return data
}

// Both examples last two seconds: 384 ticks of 96 to a quarter note at 120
// quarter notes a minute, and their notes begin at the ticks that the
// specification gives: 0, 0, 96 and 192.
func TestTheSpecificationsExamples(t *testing.T) {
	for name, text := range map[string]string{"format 0": exampleFormat0, "format 1": exampleFormat1} {
		t.Run(name, func(t *testing.T) {
			file, faults := midiio.ReadFile(bytesOf(t, text))
			require.Empty(t, faults)
			messages, length := file.Messages()
			require.Equal(t, 2*time.Second, length)
			var on []time.Duration
			for _, m := range messages {
				if m.Message.Status&0xF0 == 0x90 && m.Message.B > 0 {
					on = append(on, m.At)
				}
			}
			const quarter = 500 * time.Millisecond
			require.Equal(t, []time.Duration{0, 0, quarter, 2 * quarter}, on)
		})
	}
	require.Len(t, bytesOf(t, exampleFormat0), 81)
	require.Len(t, bytesOf(t, exampleFormat1), 118)
}

// What is read is written so that it reads the same.
func TestFilesComeBack(t *testing.T) {
	for _, text := range []string{exampleFormat0, exampleFormat1} {
		file, faults := midiio.ReadFile(bytesOf(t, text))
		require.Empty(t, faults)
		written, err := file.Bytes()
		require.NoError(t, err)
		again, faults := midiio.ReadFile(written)
		require.Empty(t, faults)
		require.Equal(t, file, again)
	}
}

// A file cut anywhere never panics, names where it ends too early, and keeps
// the messages before that.
func TestCutFilesKeepWhatIsGood(t *testing.T) {
	whole := bytesOf(t, exampleFormat0)
	file, _ := midiio.ReadFile(whole)
	all, _ := file.Messages()
	for n := range whole {
		cut, faults := midiio.ReadFile(whole[:n])
		require.NotEmpty(t, faults, "cut after %d bytes", n)
		for _, f := range faults {
			require.LessOrEqual(t, f.Offset, n)
		}
		if cut == nil {
			continue
		}
		messages, _ := cut.Messages()
		require.LessOrEqual(t, len(messages), len(all))
		for i, m := range messages {
			require.Equal(t, all[i], m)
		}
	}
}

func FuzzReadFile(f *testing.F) {
	for _, text := range []string{exampleFormat0, exampleFormat1} {
		data, _ := hex.DecodeString(strings.Join(strings.Fields(text), ""))
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		file, faults := midiio.ReadFile(data)
		if file == nil {
			require.NotEmpty(t, faults)
			return
		}
		file.Messages()
		if written, err := file.Bytes(); err == nil {
			_, faults := midiio.ReadFile(written)
			require.Empty(t, faults)
		}
	})
}
