package alsa_test

import (
	"encoding/hex"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/midiio"
)

// every is a message of every kind: its bytes (MIDI 1.0), our text, and what
// aseqdump says of it.
var every = []struct{ bytes, text, dump string }{
	{"903C40", "note-on 1 60/C4 64", "Note on 0, note 60, velocity 64"},
	{"913D01", "note-on 2 61/C#4 1", "Note on 1, note 61, velocity 1"},
	{"813D7F", "note-off 2 61/C#4 127", "Note off 1, note 61, velocity 127"},
	{"A03C05", "key-pressure 1 60/C4 5", "Polyphonic aftertouch 0, note 60, value 5"},
	{"803C00", "note-off 1 60/C4 0", "Note off 0, note 60, velocity 0"},
	{"B0077F", "control-change 1 7 127", "Control change 0, controller 7, value 127"},
	{"CF05", "program-change 16 5", "Program change 15, program 5"},
	{"D041", "channel-pressure 1 65", "Channel aftertouch 0, value 65"},
	{"E00000", "pitch-bend 1 0", "Pitch bend 0, value -8192"},
	{"E00140", "pitch-bend 1 8193", "Pitch bend 0, value 1"},
	{"F07E7F0601F7", "sysex 7E 7F 06 01", "System exclusive F0 7E 7F 06 01 F7"},
	{"F174", "quarter-frame 116", "MTC quarter frame 74h"},
	{"F20102", "song-position 257", "Song position pointer value 257"},
	{"F303", "song-select 3", "Song select value 3"},
	{"F6", "tune-request", "Tune request"},
	{"F8", "timing-clock", "Clock"},
	{"FA", "start", "Start"},
	{"FB", "continue", "Continue"},
	{"FC", "stop", "Stop"},
	{"FE", "active-sensing", "Active Sensing"},
	{"FF", "system-reset", "Reset"},
}

// long is system exclusive that no event of the sequencer carries whole.
var long = "F0" + strings.Repeat("7D0102037F", 60) + "F7"

func everyByte() (bytes string) {
	for _, m := range every {
		bytes += m.bytes
	}
	return bytes + long
}

func everyText() (texts []string) {
	for _, m := range every {
		texts = append(texts, m.text)
	}
	return append(texts, textsOf(long)...)
}

// textsOf are the messages of bytes in hex, which may have blanks between them.
func textsOf(bytes string) (texts []string) {
	data, err := hex.DecodeString(strings.Join(strings.Fields(bytes), ""))
	if err != nil {
		panic(err)
	}
	var tokens midiio.Tokenizer
	tokens.Feed(data, func(m midiio.Message) { texts = append(texts, m.String()) })
	return texts
}

// afterPings are messages without the tune requests that they begin with.
func afterPings(texts []string) []string {
	i := slices.IndexFunc(texts, func(text string) bool { return text != "tune-request" })
	return texts[max(0, i):]
}

func realTimeLast(texts []string) (list []string) {
	var last []string
	for _, text := range texts {
		if message(text).RealTime() {
			last = append(last, text)
		} else {
			list = append(list, text)
		}
	}
	return append(list, last...)
}

// amidi is another program's way to write to a raw device.
func amidi(t *testing.T, device string) func(message string) {
	return func(message string) { run(t, "amidi", "-p", device, "-S", message) }
}

// ours is our way to write to a port.
func ours(t *testing.T, name string) func(message string) {
	return func(bytes string) {
		port, err := midiio.Open(name, midiio.Out)
		require.NoError(t, err)
		for _, text := range textsOf(bytes) {
			_, err = port.Write(message(text).Bytes())
			require.NoError(t, err)
		}
		require.NoError(t, port.Close())
	}
}

var shown = regexp.MustCompile(`(?m)^ *\d+\.\d+ +[+-]\d+\.\d+  (.*)$`)

// messages are those that our program has shown.
func (p *program) messages() (texts []string) {
	for _, line := range shown.FindAllStringSubmatch(p.output(), -1) {
		texts = append(texts, line[1])
	}
	return afterPings(texts)
}

// shows waits until our program has shown so many messages, and requires what
// they are.
func (p *program) shows(t *testing.T, want []string) {
	t.Helper()
	until(t, func() bool { return len(p.messages()) >= len(want) }, "%v", p)
	require.Equal(t, want, p.messages(), "%v", p)
}

// virtual is a virtual raw device, counted from 0, as its sequencer port.
func virtual(n string) string { return "midi:Virtual Raw MIDI 0-" + n + ":VirMIDI 0-" + n }

func listed(t *testing.T) {
	ports := run(t, "trundle", "ports")
	var want, raw []string
	client := ""
	for line := range strings.Lines(run(t, "aconnect", "-l")) {
		_, name, _ := strings.Cut(line, "'")
		name, _, quoted := strings.Cut(name, "'")
		name = strings.TrimSpace(name)
		switch {
		case strings.HasPrefix(line, "client "):
			client = name
		case quoted && client != "System" && strings.HasPrefix(name, client):
			want = append(want, "midi:"+name)
		case quoted && client != "System":
			want = append(want, "midi:"+client+":"+name)
		}
	}
	require.Contains(t, want, "midi:Midi Through Port-0")
	for line := range strings.Lines(run(t, "amidi", "-l")) {
		if name, _, found := strings.Cut(strings.TrimSpace(line), " (16 subdevices)"); found {
			raw = append(raw, name[strings.Index(name, "Virtual"):])
		}
	}
	require.Len(t, raw, 4)
	want = append(want, "raw:"+raw[0], "raw:"+raw[1]+"#2", "raw:"+raw[2]+"#3", "raw:"+raw[3]+"#4")
	var got []string
	for line := range strings.Lines(ports) {
		name, found := strings.CutSuffix(strings.TrimSpace(line), " in and out")
		if found && !strings.HasPrefix(name, "serial:") {
			got = append(got, strings.TrimSpace(name))
		}
	}
	require.Equal(t, want, got)
}

func fromRawToSequencer(t *testing.T) {
	w := start(t, "trundle", "watch", "--no-sensing", "--in", virtual("0"))
	connected(t, "trundle")
	run(t, "amidi", "-p", "hw:0,0", "-S", everyByte())
	w.shows(t, everyText())
	require.Contains(t, w.interrupt(t), "22 messages, 0 faults")
}

func fromSequencerToRaw(t *testing.T) {
	d := start(t, "amidi", "-p", "hw:0,1", "-d", "-a", "-c")
	d.awake(t, ours(t, virtual("1")))
	run(t, "trundle", append([]string{"send", "--out", virtual("1")}, everyText()...)...)
	d.dumps(t, append(everyText(), silences(1, 2)...))
}

// silences are what our program sends at last on channels that had keys.
func silences(channels ...int) (texts []string) {
	for _, c := range channels {
		texts = append(texts, midiio.ControlChange(c, midiio.AllNotesOff, 0).String(), midiio.ControlChange(c, midiio.AllSoundOff, 0).String())
	}
	return texts
}

// dumps waits until amidi has shown so many messages, ends it, and requires what
// they are; those of real time may overtake others.
func (p *program) dumps(t *testing.T, want []string) {
	t.Helper()
	until(t, func() bool { return len(afterPings(textsOf(p.output()))) >= len(want) }, "%v", p)
	require.Equal(t, realTimeLast(want), realTimeLast(afterPings(textsOf(p.output()))))
	p.interrupt(t)
}

func fromOurRawDevice(t *testing.T) {
	d := start(t, "aseqdump", "-p", "Virtual Raw MIDI 0-2")
	connected(t, "aseqdump")
	run(t, "trundle", append([]string{"send", "--out", "raw:Virtual Raw MIDI#3"}, everyText()...)...)
	d.says(t, "controller 120, value 0[^$]*controller 120, value 0")
	said := strings.Join(strings.Fields(d.interrupt(t)), " ")
	for _, m := range every {
		_, rest, found := strings.Cut(said, m.dump)
		require.True(t, found, "%s, in: %s", m.dump, said)
		said = rest
	}
}

func toOurRawDevice(t *testing.T) {
	w := start(t, "trundle", "watch", "--in", "raw:Virtual Raw MIDI#4")
	w.awake(t, ours(t, virtual("3")))
	file := filepath.Join(t.TempDir(), "a.mid")
	// One track; a tick is 5 ms. A chord in one status, which the kernel shortens
	// to running status.
	require.NoError(t, os.WriteFile(file, []byte("MThd\x00\x00\x00\x06\x00\x00\x00\x01\x00\x64"+
		"MTrk\x00\x00\x00\x1C\x00\x90\x3C\x40\x00\x40\x41\x00\x43\x42\x01\xC0\x05\x01\x80\x3C\x00\x00\x40\x00\x00\x43\x00\x00\xFF\x2F\x00"), 0o600))
	run(t, "aplaymidi", "-d", "0", "-p", "Virtual Raw MIDI 0-3", file)
	w.shows(t, []string{"note-on 1 60/C4 64", "note-on 1 64/E4 65", "note-on 1 67/G4 66", "program-change 1 5", "note-off 1 60/C4 0", "note-off 1 64/E4 0", "note-off 1 67/G4 0"})
	require.Contains(t, w.interrupt(t), "messages, 0 faults")
}

// there waits until a client of the sequencer is there, with its port.
func there(t *testing.T, client string) {
	t.Helper()
	pattern := regexp.MustCompile(` : "` + client + `".*\n +Port`)
	until(t, func() bool { return pattern.MatchString(read("/proc/asound/seq/clients")) }, "%s is not there", client)
}

func ownPort(t *testing.T) {
	w := start(t, "trundle", "watch", "--no-sensing", "--in", "own:Console")
	there(t, "Console")
	run(t, "aconnect", "Virtual Raw MIDI 0-0", "Console")
	run(t, "amidi", "-p", "hw:0,0", "-S", everyByte())
	w.shows(t, everyText())
	require.Contains(t, w.interrupt(t), "22 messages, 0 faults")

	port, err := midiio.Open("own:Relay", midiio.Out)
	require.NoError(t, err)
	d := start(t, "amidi", "-p", "hw:0,1", "-d", "-a", "-c")
	run(t, "aconnect", "Relay", "Virtual Raw MIDI 0-1")
	d.awake(t, func(string) {
		_, err := port.Write([]byte{0xF6})
		require.NoError(t, err)
	})
	for _, text := range everyText() {
		_, err := port.Write(message(text).Bytes())
		require.NoError(t, err)
	}
	require.NoError(t, port.Close())
	d.dumps(t, everyText())
}

func ownPortReleases(t *testing.T) {
	w := start(t, "trundle", "watch", "--in", "own:Console")
	there(t, "Console")
	run(t, "aconnect", "Virtual Raw MIDI 0-0", "Console")
	run(t, "aconnect", "Virtual Raw MIDI 0-1", "Console")
	run(t, "amidi", "-p", "hw:0,0", "-S", "90 3C 40 40 41")
	run(t, "amidi", "-p", "hw:0,1", "-S", "91 3C 42")
	w.shows(t, []string{"note-on 1 60/C4 64", "note-on 1 64/E4 65", "note-on 2 60/C4 66"})
	run(t, "aconnect", "-d", "Virtual Raw MIDI 0-0", "Console")
	w.shows(t, []string{"note-on 1 60/C4 64", "note-on 1 64/E4 65", "note-on 2 60/C4 66", "note-off 1 60/C4 64", "note-off 1 64/E4 64"})
	w.interrupt(t)
}

func names(t *testing.T) {
	for name, want := range map[string]string{
		"midi:virmidi 0":         "midi:virmidi 0 may be any of " + strings.Join([]string{virtual("0"), virtual("1"), virtual("2"), virtual("3")}, ", ") + "; name one of them",
		"raw:Virtual Raw":        "raw:Virtual Raw may be any of raw:Virtual Raw MIDI, raw:Virtual Raw MIDI#2, raw:Virtual Raw MIDI#3, raw:Virtual Raw MIDI#4; name one of them",
		"raw:console":            "no MIDI port raw:console; there are raw:Virtual Raw MIDI, raw:Virtual Raw MIDI#2, raw:Virtual Raw MIDI#3, raw:Virtual Raw MIDI#4",
		"own:" + long[:64]:       "own:" + long[:64] + " is too long a name: the system keeps 63 bytes of it",
		"raw:Virtual Raw MIDI":   "",
		"midi:through":           "",
		"midi:VirMIDI 0-2":       "",
		"raw:virtual raw midi#2": "",
	} {
		port, err := midiio.Open(name, midiio.In)
		if want != "" {
			require.EqualError(t, err, want)
			continue
		}
		require.NoError(t, err, name)
		require.NoError(t, port.Close())
	}
}
