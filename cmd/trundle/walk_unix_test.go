//go:build unix

package main

import (
	"bufio"
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Ctrl-C while a pipe is tried: the organ is silenced, the answers are kept, and
// watch, which tells of keys that stay on, finds none.
func TestCtrlCLeavesAWalkSilentAndKept(t *testing.T) {
	program, err := exec.LookPath("trundle")
	require.NoError(t, err)
	folder := t.TempDir()
	told, day := filepath.Join(folder, "told.bin"), filepath.Join(folder, "day.jsonl")
	cmd := exec.Command(program, "walk", "examples/smallest/organ.yaml", "--out", "file:"+told, "--to", day)
	stdin, err := cmd.StdinPipe()
	require.NoError(t, err)
	stdout, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	_, err = stdin.Write([]byte("rest\nrest\n")) // keys, knobs
	require.NoError(t, err)
	lines := bufio.NewScanner(stdout)
	for lines.Scan() && !strings.Contains(lines.Text(), "turn on valve flute:1") {
	}
	require.NoError(t, lines.Err())
	require.Eventually(t, func() bool { // what still waits when it is interrupted is not told
		data, err := os.ReadFile(told)
		return err == nil && bytes.Contains(data, []byte{0x90, 36})
	}, time.Minute, time.Millisecond, "the key of the pipe is told")
	require.NoError(t, cmd.Process.Signal(os.Interrupt))
	for lines.Scan() {
	}
	var exit *exec.ExitError
	require.ErrorAs(t, cmd.Wait(), &exit)
	require.Equal(t, exitInterrupted, exit.ExitCode())

	watched, err := exec.Command(program, "watch", "--in", "file:"+told, "--on", "examples/smallest/organ.yaml").CombinedOutput()
	require.NoError(t, err, string(watched))
	require.Contains(t, string(watched), "# flute-8 off")
	data, err := os.ReadFile(day)
	require.NoError(t, err)
	kept, _ := readDay(data)
	require.Equal(t, "end", kept[len(kept)-1].Kind)
	require.Len(t, kept, 1+61+3+1, "begun, keys, knobs, ended")
}
