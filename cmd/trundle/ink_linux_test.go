package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestColourOnlyOnATerminalThatWantsIt(t *testing.T) {
	terminal, err := os.OpenFile("/dev/ptmx", os.O_RDWR, 0)
	require.NoError(t, err)
	defer terminal.Close()
	file, err := os.Create(filepath.Join(t.TempDir(), "answer"))
	require.NoError(t, err)
	defer file.Close()

	t.Setenv("NO_COLOR", "") // which is as good as not set (no-color.org)
	require.Equal(t, ink(true), inkFor(terminal))
	require.Equal(t, ink(false), inkFor(file))
	require.Equal(t, ink(false), inkFor(&strings.Builder{}))

	t.Setenv("NO_COLOR", "1")
	require.Equal(t, ink(false), inkFor(terminal))
}

func TestInkChangesNoLetter(t *testing.T) {
	require.Equal(t, "error", ink(false).red("error"))
	require.Equal(t, "\x1b[1;31merror\x1b[m", ink(true).red("error"))
}
