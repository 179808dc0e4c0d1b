package wiring_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/finding"
)

// edit changes one place of one file of the bench. Marks in the new text, ①②③,
// are taken out again: they say where findings must stand.
type edit struct{ file, old, new string }

const marks = "①②③"

// bench copies the files of testdata/bench, edited, and loads the instrument.
// It gives the places of the marks as file:line:column.
func bench(t *testing.T, edits ...edit) (in *console.Instrument, relay string, marked map[string]string) {
	dir := t.TempDir()
	marked = map[string]string{}
	files, err := filepath.Glob("testdata/bench/*")
	require.NoError(t, err)
	require.Len(t, files, 5)
	for _, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		text := string(data)
		for _, e := range edits {
			if e.file == filepath.Base(file) {
				require.Equal(t, 1, strings.Count(text, e.old), "%q must stand once in %s", e.old, e.file)
				text = strings.Replace(text, e.old, e.new, 1)
			}
		}
		for i, line := range strings.Split(text, "\n") {
			column := 0
			for _, r := range line {
				if column++; strings.ContainsRune(marks, r) {
					marked[string(r)] = fmt.Sprintf("%s:%d:%d", filepath.Base(file), i+1, column)
					column--
				}
			}
		}
		text = strings.NewReplacer("①", "", "②", "", "③", "").Replace(text)
		require.NoError(t, os.WriteFile(filepath.Join(dir, filepath.Base(file)), []byte(text), 0o600))
	}
	in, found := console.Load(filepath.Join(dir, "organ.yaml"))
	require.NotNil(t, in, "%v", found)
	return in, filepath.Join(dir, "relay.yaml"), marked
}

// said is findings as lines, "① rule: message" where they stand at a mark,
// else with file:line:column, files without their directory.
func said(found []finding.Finding, marked map[string]string) []string {
	finding.Sort(found)
	lines := []string{}
	for _, f := range found {
		f.Place.File = filepath.Base(f.Place.File)
		at := f.Place.String()
		for mark, place := range marked {
			if at == place {
				at = mark
			}
		}
		lines = append(lines, at+" "+f.Rule+": "+f.Message)
	}
	return lines
}

// soldered writes soldered.csv beside a relay: its wiring with one edit.
func soldered(t *testing.T, relay, old, edited string) {
	data, err := os.ReadFile(filepath.Join(filepath.Dir(relay), "wiring.csv"))
	require.NoError(t, err)
	text := strings.Replace(string(data), old, edited, 1)
	require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(relay), "soldered.csv"), []byte(text), 0o600))
}
