package main

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func newYear() time.Time { return time.Date(2027, 1, 1, 9, 0, 0, 0, time.UTC) }

func TestARecordThatWasChangedOrShortenedInTheMiddleShows(t *testing.T) {
	path := filepath.Join(t.TempDir(), "day.jsonl")
	for _, words := range []string{"one", "two", "three"} {
		book, before, err := openDay(path, newYear)
		require.NoError(t, err)
		for _, l := range before {
			require.False(t, l.Broken || l.Damaged)
		}
		require.NoError(t, book.add(dayEntry{Kind: "note", Words: words}))
		require.NoError(t, book.close())
	}
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	lines, seal := readDay(data)
	require.Len(t, lines, 3)
	require.Equal(t, fmt.Sprintf("sha256:%x", sha256.Sum256(data)), seal, "the seal is what sha256sum prints")

	changed, _ := readDay(bytes.Replace(data, []byte(`"one"`), []byte(`"won"`), 1))
	require.False(t, changed[0].Broken, "nothing stands before it")
	require.True(t, changed[1].Broken)

	_, rest, _ := strings.Cut(string(data), "\n")
	without, _ := readDay([]byte(rest))
	require.True(t, without[0].Broken)
}

func TestARecordGoesOnBehindALineThatWasCutOff(t *testing.T) {
	path := filepath.Join(t.TempDir(), "day.jsonl")
	write := func() {
		book, _, err := openDay(path, newYear)
		require.NoError(t, err)
		require.NoError(t, book.add(dayEntry{Kind: "note", Words: "said"}))
		require.NoError(t, book.close())
	}
	write()
	write()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, data[:len(data)-20], 0o600))
	write()
	data, err = os.ReadFile(path)
	require.NoError(t, err)
	lines, _ := readDay(data)
	require.Len(t, lines, 3)
	require.Equal(t, []bool{false, true, false}, []bool{lines[0].Damaged, lines[1].Damaged, lines[2].Damaged})
	require.False(t, lines[2].Broken)
}

func TestRecordsAreShownAsTheirSchemaSays(t *testing.T) {
	path := filepath.Join(t.TempDir(), "day.jsonl")
	var stdout, stderr bytes.Buffer
	code := run([]string{"walk", "examples/saltmarsh/organ.yaml", "--relay", "examples/currents/relay.yaml", "--to", path, "--who", "Ann"}, strings.NewReader("good\nopen here\n"), &stdout, &stderr)
	require.Equal(t, exitBad, code, stderr.String())
	stdout.Reset()
	code = run([]string{"day", path, "--format", "json"}, nil, &stdout, &stderr)
	require.Equal(t, exitBad, code, stderr.String())
	requireValid(t, "day", stdout.String())
}
