package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/midiio"
)

// spoken is what a program that runs has said so far.
type spoken struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (s *spoken) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.Write(p)
}

func (s *spoken) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.String()
}

// startOn starts a program on a serial line.
func startOn(t *testing.T, link string, args ...string) (program *exec.Cmd, stdout, stderr *spoken) {
	t.Helper()
	path, err := exec.LookPath("trundle")
	require.NoError(t, err)
	stdout, stderr = &spoken{}, &spoken{}
	program = exec.Command(path, args...)
	program.Env = append(os.Environ(), "XDG_CACHE_HOME="+filepath.Dir(link))
	program.Stdout, program.Stderr = stdout, stderr
	require.NoError(t, program.Start())
	return program, stdout, stderr
}

// plug is the other end of a serial line; closing it is pulling it out.
func plug(t *testing.T, link string) midiio.Port {
	t.Helper()
	port, err := midiio.Open("pty:"+link, midiio.Out)
	require.NoError(t, err)
	return port
}

func says(t *testing.T, s *spoken, text string) {
	t.Helper()
	require.Eventually(t, func() bool { return strings.Contains(s.String(), text) }, 20*time.Second, time.Millisecond, "%q is not in what was said", text)
}

func TestAWatchSurvivesThatItsPortIsUnplugged(t *testing.T) {
	link := filepath.Join(t.TempDir(), "organ")
	far := plug(t, link)
	program, stdout, _ := startOn(t, link, "watch", "--in", "serial:"+link)
	back := 0
	for note, name := range map[byte]string{60: "60/C4", 62: "62/D4"} {
		_, err := far.Write([]byte{0x90, note, 64})
		require.NoError(t, err)
		says(t, stdout, "note-on 1 "+name+" 64")
		require.NoError(t, far.Close())
		says(t, stdout, "the port is gone; what it held is released: key "+name+" of channel 1\n")
		far = plug(t, link)
		back++
		require.Eventually(t, func() bool { return strings.Count(stdout.String(), "port-back") == back }, 20*time.Second, time.Millisecond)
	}
	require.NoError(t, program.Process.Signal(os.Interrupt))
	requireExit(t, exitInterrupted, program.Wait())
	require.Contains(t, stdout.String(), "2 messages, 2 faults\n")
	require.NoError(t, far.Close())
}

func TestARecordingSurvivesThatItsPortIsUnplugged(t *testing.T) {
	dir := t.TempDir()
	link, file := filepath.Join(dir, "organ"), filepath.Join(dir, "a.mid")
	far := plug(t, link)
	program, _, stderr := startOn(t, link, "record", "--in", "serial:"+link, "--to", file)
	recorded := func(text string) {
		t.Helper()
		require.Eventually(t, func() bool {
			f, _ := midiio.ReadFile(read(file + ".part"))
			if f == nil {
				return false
			}
			list, _ := f.Messages()
			return len(list) > 0 && list[len(list)-1].Message.String() == text
		}, 20*time.Second, time.Millisecond, "%s is not the last that was recorded", text)
	}
	_, err := far.Write([]byte{0x90, 60, 64})
	require.NoError(t, err)
	recorded("note-on 1 60/C4 64")
	require.NoError(t, far.Close())
	says(t, stderr, "trundle: serial:"+link+": the port is gone; it is looked for\n")
	recorded("note-off 1 60/C4 64")
	far = plug(t, link)
	says(t, stderr, "trundle: serial:"+link+": the port is back\n")
	_, err = far.Write([]byte{0xC0, 5})
	require.NoError(t, err)
	recorded("program-change 1 5")
	require.NoError(t, program.Process.Kill()) // what is on disk is a file already
	require.Error(t, program.Wait())
	f, faults := midiio.ReadFile(read(file + ".part"))
	require.Empty(t, faults)
	list, _ := f.Messages()
	require.Len(t, list, 3)
	require.NoError(t, far.Close())
}

// What was on when the port went is released when it is back, and the
// controllers are told again.
func TestPlayingSurvivesThatItsPortIsUnplugged(t *testing.T) {
	dir := t.TempDir()
	link, song := filepath.Join(dir, "organ"), filepath.Join(dir, "song.txt")
	require.NoError(t, os.WriteFile(song, []byte("0 control-change 1 7 90\n0 note-on 1 60 64\n0.5 note-on 1 64 64\n600 note-off 1 64 64\n"), 0o600))
	heard := midiio.Listen(plug(t, link), midiio.NewClock())
	program, _, stderr := startOn(t, link, "play", song, "--out", "serial:"+link+"@115200")
	hears(t, heard, "control-change 1 123 0", "control-change 1 120 0", "control-change 1 7 90", "note-on 1 60/C4 64")
	require.NoError(t, heard.Close())
	says(t, stderr, "trundle: serial:"+link+"@115200: the port is gone: ")
	heard = midiio.Listen(plug(t, link), midiio.NewClock())
	hears(t, heard, "note-off 1 60/C4 64", "note-off 1 64/E4 64", "control-change 1 123 0", "control-change 1 120 0", "control-change 1 7 90")
	says(t, stderr, "trundle: serial:"+link+"@115200: the port is back\n")
	require.NoError(t, program.Process.Signal(os.Interrupt))
	requireExit(t, exitInterrupted, program.Wait())
	hears(t, heard, "control-change 1 123 0", "control-change 1 120 0")
	require.NoError(t, heard.Close())
}

// On an instrument they are stops too, whatever messages they have.
func TestAPortThatIsBackIsToldHowTheStopsStand(t *testing.T) {
	dir := t.TempDir()
	link, song, organ := filepath.Join(dir, "organ"), filepath.Join(dir, "song.txt"), filepath.Join(dir, "organ.yaml")
	require.NoError(t, os.WriteFile(organ, []byte(coverOrgan), 0o600))
	require.NoError(t, os.WriteFile(song, []byte("0 note-on 15 0 127\n0 note-on 1 60 64\n0.5 note-off 1 60 64\n600 timing-clock\n"), 0o600))
	heard := midiio.Listen(plug(t, link), midiio.NewClock())
	program, _, stderr := startOn(t, link, "play", song, "--out", "serial:"+link, "--on", organ)
	hears(t, heard, "control-change 1 123 0", "control-change 1 120 0", "note-on 15 0/C-1 127", "note-on 1 60/C4 64")
	require.NoError(t, heard.Close())
	says(t, stderr, ": the port is gone: ")
	heard = midiio.Listen(plug(t, link), midiio.NewClock())
	hears(t, heard, "note-off 1 60/C4 64", "control-change 1 123 0", "control-change 1 120 0", "note-on 15 0/C-1 64")
	require.NoError(t, program.Process.Signal(os.Interrupt))
	requireExit(t, exitInterrupted, program.Wait())
	hears(t, heard, "control-change 1 123 0", "control-change 1 120 0", "note-on 15 0/C-1 64")
	require.NoError(t, heard.Close())
}

// hears waits for messages, and wants none between them.
func hears(t *testing.T, in *midiio.Input, want ...string) {
	t.Helper()
	var got []string
	for len(got) < len(want) {
		select {
		case <-in.Ready():
		case <-time.After(20 * time.Second):
			require.Equal(t, want, got, "nothing more comes")
		}
		for _, each := range in.Take().Messages {
			got = append(got, each.Message.String())
		}
	}
	require.Equal(t, want, got)
}
