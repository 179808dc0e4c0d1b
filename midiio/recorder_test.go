package midiio

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// whole is a file in memory.
type whole []byte

func (w *whole) WriteAt(p []byte, at int64) (int, error) {
	for int64(len(*w)) < at+int64(len(p)) {
		*w = append(*w, 0)
	}
	return copy((*w)[at:], p), nil
}

// After every flush the file holds all that came, at its times, faults as the
// bytes that they were; and nothing is wrong with it.
func TestARecordingIsAWholeFileAfterEveryFlush(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var file whole
		at := time.Hour
		r, err := Record(&file, at)
		require.NoError(t, err)
		var want []string
		for _, m := range messages(rapid.SliceOfN(rapid.Byte(), 0, 100).Draw(t, "stream")) {
			at += time.Duration(rapid.IntRange(0, 50_000).Draw(t, "ticks")) * recordTick
			r.Add(Timed{at, m})
			want = append(want, (at-time.Hour).String()+" "+m.String())
			if rapid.Bool().Draw(t, "flush") {
				requireRecorded(t, r, &file, at, want)
			}
		}
		require.NoError(t, r.Flush(at+time.Minute))
		requireRecorded(t, r, &file, at+time.Minute, want)
	})
}

func requireRecorded(t *rapid.T, r *Recorder, file *whole, at time.Duration, want []string) {
	require.NoError(t, r.Flush(at))
	read, faults := ReadFile(*file)
	require.Empty(t, faults)
	list, length := read.Messages()
	require.Equal(t, at-time.Hour, length)
	var got []string
	for _, each := range list {
		got = append(got, each.At.String()+" "+each.Message.String())
	}
	require.Equal(t, want, got)
}

// cut is a file whose program is killed after so many writes.
type cut struct {
	whole
	left int
}

func (c *cut) WriteAt(p []byte, at int64) (int, error) {
	if c.left--; c.left < 0 {
		return len(p), nil
	}
	return c.whole.WriteAt(p, at)
}

// Killed between any two writes, a recording is a file with all that was flushed
// before: a track ends with its End of Track (Standard MIDI Files 1.0), and behind
// the last chunk a reader looks for nothing.
func TestARecordingThatIsKilledIsAFileOfWhatWasFlushed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		file := cut{left: rapid.IntRange(1, 20).Draw(t, "writes")}
		r, err := Record(&file, 0)
		require.NoError(t, err)
		var sent, flushed, at = 0, 0, time.Duration(0)
		for range 10 {
			for range rapid.IntRange(0, 3).Draw(t, "messages") {
				at += time.Duration(rapid.IntRange(0, 50_000).Draw(t, "ticks")) * recordTick
				r.Add(Timed{at, ControlChange(1, 7, byte(sent))})
				sent++
			}
			require.NoError(t, r.Flush(at+time.Duration(rapid.IntRange(0, 1000).Draw(t, "later"))*time.Second))
			if file.left >= 0 {
				flushed = sent
			}
		}
		read, faults := ReadFile(file.whole)
		for _, f := range faults {
			require.Regexp(t, "^([0-9]+ bytes at the end are no chunk|a chunk of [0-9]+ bytes is cut after [0-9]+|[0-9]+ bytes follow the end of the track)$", f.Problem)
		}
		list, _ := read.Messages()
		require.GreaterOrEqual(t, len(list), flushed)
		for i, each := range list {
			require.Equal(t, ControlChange(1, 7, byte(i)), each.Message)
		}
	})
}

func TestARecordingHoldsNoMoreThanCameSinceItsFlush(t *testing.T) {
	var file whole
	r, err := Record(&file, 0)
	require.NoError(t, err)
	for i := range 50_000 {
		r.Add(Timed{time.Duration(i) * time.Millisecond, NoteOn(1, byte(i%128), 64)})
		if i%100 == 99 {
			require.NoError(t, r.Flush(time.Duration(i)*time.Millisecond))
		}
	}
	require.Less(t, cap(r.pending), 2048)
	require.Greater(t, len(file), 50_000*3)
}

// A night without a message is longer than a number of a file can say.
func TestALongSilenceIsRecorded(t *testing.T) {
	var file whole
	r, err := Record(&file, 0)
	require.NoError(t, err)
	r.Add(Timed{24 * time.Hour, NoteOn(1, 60, 64)})
	r.Text(24*time.Hour, "morning")
	require.NoError(t, r.Flush(24*time.Hour))
	read, faults := ReadFile(file)
	require.Empty(t, faults)
	list, length := read.Messages()
	require.Equal(t, 24*time.Hour, length)
	require.Equal(t, []Timed{{24 * time.Hour, NoteOn(1, 60, 64)}}, list)
}

func TestMidicsvReadsARecording(t *testing.T) {
	program := peer(t, "midicsv")
	var file whole
	r, err := Record(&file, 0)
	require.NoError(t, err)
	r.Text(0, "great-principal-8 on")
	r.Add(Timed{time.Second, NoteOn(1, 60, 64)})
	r.Add(Timed{1500 * time.Millisecond, SysEx([]byte{0x7E, 0x7F, 6, 1})})
	r.Add(Timed{2 * time.Second, Message{Kind: Gone, Status: sysEx}})
	r.Add(Timed{2500 * time.Millisecond, Message{Kind: Back, Status: sysEx}})
	require.NoError(t, r.Flush(3*time.Second))
	path := filepath.Join(t.TempDir(), "a.mid")
	require.NoError(t, os.WriteFile(path, file, 0o600))
	out, err := exec.Command(program, path).Output()
	require.NoError(t, err)
	require.Equal(t, []string{
		"0, 0, Header, 0, 1, 5000", "1, 0, Start_track", "1, 0, Tempo, 500000", `1, 0, Text_t, "great-principal-8 on"`,
		"1, 10000, Note_on_c, 0, 60, 64", "1, 15000, System_exclusive, 5, 126, 127, 6, 1, 247", `1, 20000, Text_t, "port-gone"`,
		"1, 20000, Note_off_c, 0, 60, 64", `1, 25000, Text_t, "port-back"`,
		"1, 30000, End_track", "0, 0, End_of_file",
	}, strings.Split(strings.TrimSpace(string(out)), "\n"))
}
