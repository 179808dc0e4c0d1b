//go:build unix

package main

import (
	"bytes"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// However the program is ended, if it can see it: the key is released and its
// channel silenced before it ends.
func TestEveryEndThatCanBeSeenSilencesThePort(t *testing.T) {
	program, err := exec.LookPath("trundle")
	require.NoError(t, err)
	for name, signal := range map[string]os.Signal{"Ctrl-C": os.Interrupt, "an end": syscall.SIGTERM, "a terminal that closes": syscall.SIGHUP} {
		t.Run(name, func(t *testing.T) {
			out := filepath.Join(t.TempDir(), "out")
			cmd := exec.Command(program, "send", "--out", "file:"+out, "--hold", "1h", "note-on 1 60/C4 100")
			require.NoError(t, cmd.Start())
			require.Eventually(t, func() bool { return bytes.Equal(read(out), []byte{0x90, 60, 100}) }, 10*time.Second, time.Millisecond)
			require.NoError(t, cmd.Process.Signal(signal))
			requireExit(t, exitInterrupted, cmd.Wait())
			require.Equal(t, []byte{0x90, 60, 100, 0x80, 60, 64, 0xB0, 123, 0, 120, 0}, read(out))
		})
	}
}

// A recording that is interrupted is written.
func TestCtrlCEndsARecordingAndKeepsIt(t *testing.T) {
	program, err := exec.LookPath("trundle")
	require.NoError(t, err)
	dir := t.TempDir()
	pipe, file := filepath.Join(dir, "pipe"), filepath.Join(dir, "a.mid")
	require.NoError(t, syscall.Mkfifo(pipe, 0o600))
	cmd := exec.Command(program, "record", "--in", "file:"+pipe, "--to", file)
	require.NoError(t, cmd.Start())
	w, err := os.OpenFile(pipe, os.O_WRONLY, 0) // waits for the program to open it
	require.NoError(t, err)
	// More than the pipe holds: when it is written the program listens.
	_, err = w.Write(bytes.Repeat([]byte{0xC0, 5, 0xC0, 6}, 1<<15))
	require.NoError(t, err)
	require.NoError(t, cmd.Process.Signal(os.Interrupt))
	requireExit(t, exitInterrupted, cmd.Wait())
	require.True(t, bytes.HasPrefix(read(file), []byte("MThd")))
	require.NoError(t, w.Close())
}

func read(path string) []byte {
	data, _ := os.ReadFile(path) // nothing, until it is there
	return data
}

func requireExit(t *testing.T, want int, err error) {
	t.Helper()
	var exit *exec.ExitError
	require.ErrorAs(t, err, &exit)
	require.Equal(t, want, exit.ExitCode())
}

// A program that is killed can send nothing: the next one releases what it
// left.
func TestTheNextProgramReleasesWhatAKilledOneLeftOn(t *testing.T) {
	program, err := exec.LookPath("trundle")
	require.NoError(t, err)
	dir := t.TempDir()
	pipe := filepath.Join(dir, "pipe")
	require.NoError(t, syscall.Mkfifo(pipe, 0o600))
	heard, err := os.OpenFile(pipe, os.O_RDWR, 0)
	require.NoError(t, err)
	defer heard.Close()
	send := func(args ...string) *exec.Cmd {
		cmd := exec.Command(program, append([]string{"send", "--out", "file:" + pipe}, args...)...)
		cmd.Env = append(os.Environ(), "XDG_CACHE_HOME="+dir, "HOME="+dir)
		return cmd
	}
	hear := func(want []byte) {
		got := make([]byte, len(want))
		_, err := io.ReadFull(heard, got)
		require.NoError(t, err)
		require.Equal(t, want, got)
	}
	killed := send("--hold", "1h", "note-on 1 60 100", "note-on 16 36 100")
	require.NoError(t, killed.Start())
	hear([]byte{0x90, 60, 100, 0x9F, 36, 100})
	require.NoError(t, killed.Process.Kill())
	require.Error(t, killed.Wait())

	next := send("program-change 1 5")
	var stderr bytes.Buffer
	next.Stderr = &stderr
	require.NoError(t, next.Run())
	require.Equal(t, "trundle: file:"+pipe+": 2 keys that a program left on, because it was killed, are released\n", stderr.String())
	hear([]byte{0x80, 60, 64, 0x8F, 36, 64, 0xB0, 123, 0, 120, 0, 0xBF, 123, 0, 120, 0, 0xC0, 5})

	last := send("program-change 1 6")
	last.Stderr = &stderr
	require.NoError(t, last.Run())
	hear([]byte{0xC0, 6})
	require.Equal(t, 1, strings.Count(stderr.String(), "\n"))
}
