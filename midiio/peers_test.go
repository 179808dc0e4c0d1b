package midiio

import (
	"bytes"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Other people's programs read what ours writes and write what ours reads:
// 1,000 streams and 1,000 files, the same in each run.
const examples = 1000

// peer is the path of another program; without it the test is skipped unless
// TRUNDLE_PEERS=1.
func peer(t testing.TB, program string) string {
	t.Helper()
	path, err := exec.LookPath(program)
	if err != nil && os.Getenv("TRUNDLE_PEERS") != "1" {
		t.Skipf("%s is not installed", program)
	}
	require.NoError(t, err)
	return path
}

// mido runs a script with the Python that Debian's python3-mido is for, giving
// it a value as JSON and reading one.
func mido(t testing.TB, script string, in, out any) {
	t.Helper()
	python := peer(t, "/usr/bin/python3")
	if exec.Command(python, "-c", "import mido").Run() != nil && os.Getenv("TRUNDLE_PEERS") != "1" {
		t.Skip("python3-mido is not installed")
	}
	text, err := json.Marshal(in)
	require.NoError(t, err)
	cmd := exec.Command(python, "-c", script)
	cmd.Stdin = bytes.NewReader(text)
	var complaints strings.Builder
	cmd.Stderr = &complaints
	answer, err := cmd.Output()
	require.NoError(t, err, complaints.String())
	require.NoError(t, json.Unmarshal(answer, out))
}

// generated are streams of messages.
func generated() (streams [][]Message) {
	generator := rapid.SliceOfN(wholeMessages, 1, 30)
	for seed := range examples {
		streams = append(streams, generator.Example(seed))
	}
	return streams
}

// Running status, and real-time bytes within other messages, over a line of
// 31,250 baud sampled 8 times a bit.
func TestSigrokDecodesWhatTheEncoderSends(t *testing.T) {
	program := peer(t, "sigrok-cli")
	var e Encoder
	var line []byte
	var ordinary, realTimes []Message
	for _, stream := range generated() {
		for _, m := range stream {
			if m.Status == sysEx && len(m.Body) < 2 || m.Status == sysEx && m.Body[0] == 0 {
				continue // it wants an identifier and a payload (MIDI 1.0)
			}
			b := e.Append(nil, m)
			if m.RealTime() {
				realTimes = append(realTimes, m)
				last := len(line) - 1
				line = append(line[:max(last, 0)], append(b, line[max(last, 0):]...)...)
				continue
			}
			ordinary = append(ordinary, m)
			line = append(line, b...)
		}
	}
	sampled := bytes.Repeat([]byte{1}, 80)
	for _, b := range line {
		frame := uint(b)<<1 | 1<<9
		for bit := range 10 {
			sampled = append(sampled, bytes.Repeat([]byte{byte(frame >> bit & 1)}, 8)...)
		}
	}
	file := filepath.Join(t.TempDir(), "line.bin")
	require.NoError(t, os.WriteFile(file, append(sampled, bytes.Repeat([]byte{1}, 80)...), 0o600))
	out, err := exec.Command(program, "-i", file, "-I", "binary:numchannels=1:samplerate=250000",
		"-P", "uart:rx=0:baudrate=31250,midi", "-A", "midi=text-verbose:text-sysreal-verbose:text-error").Output()
	require.NoError(t, err)
	var heard, ticks []string
	for _, text := range strings.Split(strings.TrimSpace(string(out)), "\n") {
		text = strings.TrimPrefix(text, "midi-1: ")
		if strings.HasPrefix(text, "System Realtime") {
			ticks = append(ticks, text)
		} else {
			heard = append(heard, text)
		}
	}
	requireHeard(t, ordinary, heard)
	requireHeard(t, realTimes, ticks)
}

func requireHeard(t *testing.T, sent []Message, heard []string) {
	require.Len(t, heard, len(sent))
	require.Greater(t, len(sent), 200)
	for i, m := range sent {
		require.Regexp(t, sigrokText(m), heard[i], m.String())
	}
}

// sigrokText is what sigrok's decoder says of a message, as a pattern: names
// of controllers, programs and makers are left open.
func sigrokText(m Message) *regexp.Regexp {
	channel := fmt.Sprintf("^Channel %d: ", m.Channel())
	bend := int(m.B)<<7 | int(m.A)
	text := map[byte]string{
		songPosition: fmt.Sprintf(`^System Common: song position pointer .* \(%d\)$`, bend), tuneRequest: "^System Common: tune request$",
		songSelect:   fmt.Sprintf("^System Common: song select number %d$", m.A),
		quarterFrame: fmt.Sprintf("^System Common: MIDI time code quarter frame .* value 0x%x", m.A&0x0F),
		0xF8:         "timing clock$", 0xFA: ": start$", 0xFB: ": continue$", 0xFC: ": stop$", activeSensing: "active sensing$", systemReset: "system reset$",
	}[m.Status]
	switch {
	case m.Status == sysEx:
		for _, b := range m.Body[1:] {
			text += fmt.Sprintf("0x%02x ", b)
		}
		text = "^system exclusive: for .* with payload " + text + "$"
	case m.EndsNote():
		text = channel + fmt.Sprintf(`note off \(note = %d '.*', velocity = %d\)$`, m.A, m.B)
	case m.StartsNote():
		text = channel + fmt.Sprintf(`note on \(note = %d '.*', velocity = %d\)$`, m.A, m.B)
	case m.is(keyPressure):
		text = channel + fmt.Sprintf("polyphonic key pressure / aftertouch of %d for note = %d ", m.B, m.A)
	case m.is(controlChange) && (m.A == 0x44 || m.A == 0x54 || m.A >= AllSoundOff):
		text = channel + "control change" // these it words by their value
	case m.is(controlChange):
		text = channel + fmt.Sprintf(`control change .* \(param = 0x%02x\)$`, m.B)
	case m.is(programChange):
		text = channel + fmt.Sprintf(`program change to (instrument|drum kit) %d `, int(m.A)+1)
	case m.is(channelPressure):
		text = channel + fmt.Sprintf("channel pressure / aftertouch %d$", m.A)
	case m.is(pitchBend):
		text = channel + fmt.Sprintf(`pitch bend change .* \(%d\)$`, bend)
	}
	return regexp.MustCompile(text)
}

// Its parser knows no running status, so each message has its status byte.
func TestMidoReadsAndWritesTheSameMessages(t *testing.T) {
	var sent []string
	var want [][]string
	for _, stream := range generated() {
		var line []byte
		var each []string
		for _, m := range stream {
			line = append(line, m.Bytes()...)
			each = append(each, hex.EncodeToString(m.Bytes()))
		}
		sent, want = append(sent, hex.EncodeToString(line)), append(want, each)
	}
	var parsed [][]string
	mido(t, `import json, mido, sys
json.dump([[bytes(m.bytes()).hex() for m in mido.parse_all(bytes.fromhex(s))] for s in json.load(sys.stdin)], sys.stdout)`, sent, &parsed)
	require.Len(t, parsed, examples)
	require.Equal(t, want, parsed)
	for i, stream := range parsed {
		heard := messages(unhex(strings.Join(stream, "")))
		require.Len(t, heard, len(want[i]))
		for k, m := range heard {
			require.Equal(t, want[i][k], hex.EncodeToString(m.Bytes()))
		}
	}
}
