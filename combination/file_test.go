package combination_test

import (
	"errors"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/combination"
	"trundle/console"
	"trundle/console/finding"
)

func writeFile(t require.TestingT, path, text string) {
	require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
}

func readFile(t require.TestingT, path string) string {
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(data)
}

// captured is memories of the small instrument in which general-1 has these
// controls drawn.
func captured(t require.TestingT, in *console.Instrument, controls ...int) *combination.Memories {
	c := combination.New(in, nil)
	for _, control := range controls {
		c.Do(0, console.Draw(control))
	}
	c.Do(0, console.Press(0)) // set
	c.Do(0, console.Press(3)) // general-1
	require.NotNil(t, c.Saving())
	return c.Saving()
}

func open(t require.TestingT, path string, in *console.Instrument) (*combination.File, *combination.Memories) {
	file, memories, _, err := combination.Open(path, in)
	require.NoError(t, err)
	return file, memories
}

func TestAMemoryFileKeepsWhatTheInstrumentDoesNotHave(t *testing.T) {
	in := parse(t, small)
	const text = `format: 1
instrument: Another
locked: [2]
tutti: [bombarde-32, principal-8]
crescendo: {"1": {2: [octave-4, cymbel-3]}, soft: {1: []}}
reversibles: {reverse: gone}
memories:
  1:
    general-1: {on: [octave-4, trumpet-8], off: [principal-8]}
    general-99: {on: [principal-8], off: [vox-8]}
  7:
    general-1: {on: [], off: []}
`
	memories, findings := combination.Read(in, "memory.yaml", []byte(text))
	require.NotNil(t, memories)
	var told []string
	for _, f := range findings {
		require.Equal(t, finding.Warning, f.Severity)
		told = append(told, f.Place.String()+" "+f.Message)
	}
	require.Equal(t, []string{
		"memory.yaml:2:13 these memories are of Another, not of Small",
		"memory.yaml:4:9 the instrument has no control bombarde-32",
		"memory.yaml:5:33 the instrument has no control cymbel-3",
		"memory.yaml:5:45 the instrument has no sequence soft",
		"memory.yaml:6:24 the instrument has no control gone",
		"memory.yaml:9:32 the instrument has no control trumpet-8",
		"memory.yaml:10:5 the instrument has no button general-99",
		"memory.yaml:10:43 the instrument has no control vox-8",
	}, told)

	// A capture of another button writes the file anew, and loses none of it.
	c := combination.New(in, memories)
	c.Do(0, console.Press(0))
	c.Do(0, console.Press(4))
	again, kept := combination.Read(in, "memory.yaml", c.Saving().Text())
	require.NotNil(t, again)
	require.Len(t, kept, len(findings)-1, "all but the other instrument, whose name is now this one's")
	for _, id := range []string{"bombarde-32", "cymbel-3", "soft", "gone", "trumpet-8", "general-99", "vox-8", "7:"} {
		require.Contains(t, string(again.Text()), id)
	}
}

// Stops added, removed and put in another order since the capture.
func TestMemoriesSurviveAnotherStopList(t *testing.T) {
	text := captured(t, parse(t, small), 0, 2).Text()
	other := parse(t, `format: 1
instrument: Small
keyboards:
  great: {kind: manual, keys: C2..C7}
divisions:
  great: {keyboard: great, chest: unit}
ranks:
  principal: {division: great, family: principal, feet: 8, pipes: 61}
  flute: {division: great, family: flute, feet: 8, pipes: 61}
stops:
  flute-8: {division: great, feet: 8, rank: flute}
  octave-4: {division: great, feet: 8, rank: flute}
  principal-8: {division: great, feet: 8, rank: principal}
combination:
  buttons:
    general-1: {kind: general}
`)
	memories, _ := combination.Read(other, "memory.yaml", text)
	require.NotNil(t, memories)
	c := combination.New(other, memories)
	c.Do(0, console.Event{Kind: console.ObeyEvent, Value: 1})
	c.Do(0, console.Draw(0)) // flute-8, of which the capture knows nothing
	c.Do(0, console.Draw(1)) // octave-4, which was off
	c.Do(0, console.Press(0))
	require.True(t, c.Machine().Drawn(0), "left alone")
	require.False(t, c.Machine().Drawn(1))
	require.True(t, c.Machine().Drawn(2), "principal-8, which was drawn")
}

func TestADamagedFileIsNeverOverwritten(t *testing.T) {
	in := parse(t, small)
	path := filepath.Join(t.TempDir(), "memory.yaml")
	file, _ := open(t, path, in)
	require.NoError(t, file.Save(captured(t, in, 0)))
	require.NoError(t, file.Save(captured(t, in, 1)))
	require.NoError(t, file.Close())
	good := readFile(t, combination.GoodCopy(path))
	require.Equal(t, string(captured(t, in, 0).Text()), good, "what the file held before the last save")

	damaged := readFile(t, path)[:150] + "\x00"
	writeFile(t, path, damaged)
	_, _, _, err := combination.Open(path, in)
	require.ErrorContains(t, err, path+":3:", "the line")
	require.ErrorContains(t, err, "the last good copy is "+combination.GoodCopy(path))
	require.IsType(t, &combination.DamagedError{}, err)
	require.Equal(t, damaged, readFile(t, path))
	require.Equal(t, good, readFile(t, combination.GoodCopy(path)))
}

// The file was damaged, or edited, while a console held it.
func TestAFileChangedByAnotherProgramIsNotOverwritten(t *testing.T) {
	in := parse(t, small)
	path := filepath.Join(t.TempDir(), "memory.yaml")
	file, _ := open(t, path, in)
	defer file.Close()
	require.NoError(t, file.Save(captured(t, in, 0)))
	writeFile(t, path, "format: 1\n")
	require.EqualError(t, file.Save(captured(t, in, 1)), path+": was changed by another program since it was read; nothing saved")
	require.Equal(t, "format: 1\n", readFile(t, path))
	require.NoError(t, os.Remove(path))
	require.EqualError(t, file.Save(captured(t, in, 1)), path+": was taken away by another program; nothing saved")
}

func TestASecondWriterIsRefused(t *testing.T) {
	in := parse(t, small)
	path := filepath.Join(t.TempDir(), "memory.yaml")
	file, _ := open(t, path, in)
	require.NoError(t, file.Save(captured(t, in, 0)))
	before := readFile(t, path)
	_, _, _, err := combination.Open(path, in)
	require.EqualError(t, err, path+": another program has this memory file open; close it there first")
	require.Equal(t, before, readFile(t, path))
	require.NoError(t, file.Close())
	second, _ := open(t, path, in)
	require.NoError(t, second.Close())
}

func TestALinkedMemoryFileStaysALink(t *testing.T) {
	in := parse(t, small)
	dir := t.TempDir()
	target, link := filepath.Join(dir, "target.yaml"), filepath.Join(dir, "link.yaml")
	writeFile(t, target, "format: 1\n")
	if err := os.Symlink(target, link); errors.Is(err, errors.ErrUnsupported) {
		t.Skip("this file system has no symbolic links")
	}
	file, _ := open(t, link, in)
	defer file.Close()
	require.NoError(t, file.Save(captured(t, in, 0)))
	info, err := os.Lstat(link)
	require.NoError(t, err)
	require.NotZero(t, info.Mode()&os.ModeSymlink)
	require.Equal(t, string(captured(t, in, 0).Text()), readFile(t, target))
}

func TestASaveKeepsThePermissionsOfTheFile(t *testing.T) {
	in := parse(t, small)
	path := filepath.Join(t.TempDir(), "memory.yaml")
	require.NoError(t, os.WriteFile(path, []byte("format: 1\n"), 0o600))
	file, _ := open(t, path, in)
	defer file.Close()
	require.NoError(t, file.Save(captured(t, in, 0)))
	info, err := os.Stat(path)
	require.NoError(t, err)
	require.Equal(t, os.FileMode(0o600), info.Mode().Perm())
}
