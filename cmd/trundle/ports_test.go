package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/midiio"
)

func TestPortsAreListedAsTheSchemaSays(t *testing.T) {
	var stdout, stderr strings.Builder
	require.Equal(t, exitGood, run([]string{"ports", "--format", "json"}, strings.NewReader(""), &stdout, &stderr))
	requireValid(t, "ports", stdout.String())
	stdout.Reset()
	require.Equal(t, exitGood, run([]string{"ports"}, strings.NewReader(""), &stdout, &stderr))
	for _, form := range midiio.Forms {
		require.Contains(t, stdout.String(), form.Name)
	}
}

// 3,000 bytes at once are 96% of the 3,125 that a MIDI cable carries in a
// second (MIDI 1.0, hardware).
func TestEveryLineOfAWatchIsAsItsSchemaSays(t *testing.T) {
	path := filepath.Join(t.TempDir(), "bytes")
	sent := append([]byte{0x90, 0x3C, 0x40, 0xF4, 0xF0}, make([]byte, 2994)...)
	require.NoError(t, os.WriteFile(path, append(sent, 0xF7), 0o600))
	var stdout, stderr strings.Builder
	require.Equal(t, exitBad, run([]string{"watch", "--in", "file:" + path, "--baud", "31250", "--format", "json", "--raw"}, strings.NewReader(""), &stdout, &stderr))
	require.Empty(t, stderr.String())
	var faults []string
	for line := range strings.Lines(stdout.String()) {
		requireValid(t, "watch", line)
		var answer watchAnswer
		require.NoError(t, json.Unmarshal([]byte(line), &answer))
		if answer.Fault != "" {
			faults = append(faults, answer.Fault+": "+answer.Text)
		}
	}
	require.Len(t, faults, 3)
	require.Equal(t, "undefined: status F4 has no meaning in MIDI 1.0", faults[0])
	require.Equal(t, "link-full: 96% of the link was used in the last second", faults[1])
	require.Contains(t, faults[2], "note-hangs: key 60/C4 of channel 1 is still on, for ")
}

func TestTheWatchSchemaKnowsEveryFault(t *testing.T) {
	var known []string
	for _, rule := range loadSchema(t, "watch").Properties["fault"].Enum {
		known = append(known, rule.(string))
	}
	require.Equal(t, midiio.Rules, known)
}

// A file played from its middle: what stands there is sent first, a note that
// began before is not.
func TestPlayingFromTheMiddleChasesWhatStandsThere(t *testing.T) {
	dir := t.TempDir()
	file := midiio.File{Division: midiio.Division{Frames: 25, PerFrame: 40}} // milliseconds
	track := midiio.Track{}
	for _, e := range []struct {
		ms   int64
		text string
	}{{0, "program-change 1 7"}, {0, "control-change 1 7 1"}, {10, "control-change 1 7 2"}, {10, "note-on 1 60 1"}, {20, "note-off 1 60 64"}, {30, "note-on 1 62 1"}, {40, "note-on 1 62 0"}} {
		m, err := midiio.ParseMessage(e.text)
		require.NoError(t, err)
		track = append(track, midiio.FileEvent{Tick: e.ms, Message: m})
	}
	file.Tracks = []midiio.Track{track}
	data, err := file.Bytes()
	require.NoError(t, err)
	song, played := filepath.Join(dir, "song.mid"), filepath.Join(dir, "played")
	require.NoError(t, os.WriteFile(song, data, 0o600))
	var stdout, stderr strings.Builder
	require.Equal(t, exitGood, run([]string{"play", song, "--out", "file:" + played, "--from", "15ms"}, strings.NewReader(""), &stdout, &stderr), stderr.String())
	bytes, err := os.ReadFile(played)
	require.NoError(t, err)
	require.Equal(t, []byte{0xB0, 123, 0, 120, 0, 0xC0, 7, 0xB0, 7, 2, 0x80, 60, 64, 0x90, 62, 1, 62, 0, 0xB0, 123, 0, 120, 0}, bytes)
}
