//go:build unix

package main

import (
	"os"
	"os/exec"
	"testing"

	"github.com/stretchr/testify/require"
)

// Ctrl-C while it reads a file that does not end. The pipe takes more than it
// can hold only once the program reads from it, and by then it listens for
// the signal.
func TestCtrlCEndsWith130(t *testing.T) {
	program, err := exec.LookPath("trundle")
	require.NoError(t, err)
	cmd := exec.Command(program, "check", "/dev/stdin")
	stdin, err := cmd.StdinPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	_, err = stdin.Write(make([]byte, 1<<20))
	require.NoError(t, err)
	require.NoError(t, cmd.Process.Signal(os.Interrupt))
	var exit *exec.ExitError
	require.ErrorAs(t, cmd.Wait(), &exit)
	require.Equal(t, exitInterrupted, exit.ExitCode())
}
