package midiio

import (
	"encoding/csv"
	"encoding/hex"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// absolute is an event of a track as its tick and its bytes, in hex.
type absolute struct {
	Tick  int64  `json:"tick"`
	Bytes string `json:"bytes"`
}

func absolutes(f *File, keep func(FileEvent) bool) [][]absolute {
	tracks := make([][]absolute, len(f.Tracks))
	for i, track := range f.Tracks {
		tracks[i] = []absolute{}
		for _, e := range track {
			if keep(e) {
				tracks[i] = append(tracks[i], absolute{e.Tick, hex.EncodeToString(e.bytes(new(Encoder)))})
			}
		}
	}
	return tracks
}

// Files of each make, in both directions. It knows no packets and no frames
// of film.
func TestMidoReadsOurFilesAndWeReadIts(t *testing.T) {
	keep := func(e FileEvent) bool { return !e.Meta && e.Message.Status <= sysEx }
	var ours []string
	var want [][][]absolute
	for seed := range examples {
		f := files.Example(seed)
		f.Division = Division{PerQuarter: 1 + seed}
		for i, track := range f.Tracks {
			var kept Track
			for _, e := range track {
				if e.Meta || keep(e) {
					kept = append(kept, e)
				}
			}
			f.Tracks[i] = kept
		}
		written, err := f.Bytes()
		require.NoError(t, err)
		ours, want = append(ours, hex.EncodeToString(written)), append(want, absolutes(f, keep))
	}
	type answer struct {
		Read   [][]absolute `json:"read"`
		Theirs string       `json:"theirs"`
	}
	var answers []answer
	mido(t, `import io, json, mido, sys
answers = []
for text in json.load(sys.stdin):
    f = mido.MidiFile(file=io.BytesIO(bytes.fromhex(text)))
    tracks = []
    for track in f.tracks:
        tick, events = 0, []
        for m in track:
            tick += m.time
            if m.is_meta: continue
            events.append({"tick": tick, "bytes": bytes(m.bytes()).hex()})
        tracks.append(events)
    out = io.BytesIO()
    f.save(file=out)
    answers.append({"read": tracks, "theirs": out.getvalue().hex()})
json.dump(answers, sys.stdout)`, ours, &answers)
	require.Len(t, answers, examples)
	for i, a := range answers {
		require.Equal(t, want[i], a.Read)
		f, faults := ReadFile(unhex(a.Theirs))
		require.Empty(t, faults)
		require.Equal(t, want[i], absolutes(f, keep))
	}
}

// Every kind of event and of division; and back to a file by csvmidi.
func TestMidicsvReadsOurFilesAndWeReadThoseOfCsvmidi(t *testing.T) {
	toCSV, toMIDI := peer(t, "midicsv"), peer(t, "csvmidi")
	all := func(e FileEvent) bool { return !e.isMeta(MetaEndOfTrack) }
	dir := t.TempDir()
	path, table, back := filepath.Join(dir, "a.mid"), filepath.Join(dir, "a.csv"), filepath.Join(dir, "b.mid")
	for seed := range examples {
		f := files.Example(seed)
		written, err := f.Bytes()
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(path, written, 0o600))
		out, err := exec.Command(toCSV, path, table).CombinedOutput()
		require.NoError(t, err, "%s %x", out, written)
		text, err := os.ReadFile(table)
		require.NoError(t, err)
		require.Equal(t, absolutes(f, all), fromCSV(t, string(text), len(f.Tracks)))

		if f.Division.Frames > 0 {
			continue // csvmidi refuses the negative division that midicsv writes
		}
		out, err = exec.Command(toMIDI, table, back).CombinedOutput()
		require.NoError(t, err, "%s %s", out, text)
		theirs, err := os.ReadFile(back)
		require.NoError(t, err)
		read, faults := ReadFile(theirs)
		require.Empty(t, faults)
		require.Equal(t, absolutes(f, all), absolutes(read, all))
	}
}

// statuses of what midicsv calls each channel message.
var statuses = map[string]byte{
	"Note_off_c": noteOff, "Note_on_c": noteOn, "Poly_aftertouch_c": keyPressure, "Control_c": controlChange,
	"Program_c": programChange, "Channel_aftertouch_c": channelPressure, "Pitch_bend_c": pitchBend,
}

func fromCSV(t *testing.T, text string, tracks int) [][]absolute {
	events := make([][]absolute, tracks)
	for i := range events {
		events[i] = []absolute{}
	}
	reader := csv.NewReader(strings.NewReader(text))
	reader.FieldsPerRecord, reader.TrimLeadingSpace = -1, true
	rows, err := reader.ReadAll()
	require.NoError(t, err)
	for _, row := range rows {
		number, err := strconv.Atoi(row[0])
		require.NoError(t, err)
		tick, err := strconv.ParseInt(row[1], 10, 64)
		require.NoError(t, err)
		var b []byte
		status, channel := statuses[row[2]]
		switch {
		case row[2] == "Text_t":
			b = append(appendQuantity([]byte{0xFF, MetaText}, uint32(len(row[3]))), row[3]...)
		case row[2] == "Pitch_bend_c":
			values := integers(t, row[3:])
			b = []byte{status | byte(values[0]), byte(values[1] & 0x7F), byte(values[1] >> 7)}
		case channel:
			for _, value := range integers(t, row[3:]) {
				b = append(b, byte(value))
			}
			b[0] |= status
		case strings.HasPrefix(row[2], "System_exclusive"):
			b = []byte{0xF0}
			if row[2] == "System_exclusive_packet" {
				b[0] = 0xF7
			}
			for _, value := range integers(t, row[4:]) {
				b = append(b, byte(value))
			}
		default:
			require.Contains(t, []string{"Header", "Start_track", "End_track", "End_of_file"}, row[2], fmt.Sprint(row))
			continue
		}
		events[number-1] = append(events[number-1], absolute{tick, hex.EncodeToString(b)})
	}
	return events
}

func integers(t *testing.T, fields []string) (list []int) {
	for _, field := range fields {
		n, err := strconv.Atoi(strings.TrimSpace(field))
		require.NoError(t, err)
		list = append(list, n)
	}
	return list
}
