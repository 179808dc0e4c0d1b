package combination_test

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"trundle/combination"
	"trundle/console"
	"trundle/console/finding"
)

func TestWhatIsWrongInAMemoryFile(t *testing.T) {
	in := parse(t, small)
	for name, c := range map[string]struct{ text, want string }{
		"no YAML":               {"format: 1\nmemories: {1: {general-1: {on: [a]}\n", "memory.yaml:3:1: "},
		"half a file":           {"format: 1\nmemories:\n  1:\n    general-1: {on: [princ", "memory.yaml:4:"},
		"another format":        {"format: 2\n", "memory.yaml:1:9: this program reads format 1, not \"2\""},
		"no format":             {"memories: {}\n", "memory.yaml:1:1: a memory file lacks the field format"},
		"an unknown field":      {"format: 1\nmemory: {}\n", "memory.yaml:2:1: a memory file has no field memory"},
		"a memory of no number": {"format: 1\nmemories: {first: {}}\n", "memory.yaml:2:12: a memory is a number from 1 to 9999, not \"first\""},
		"a memory twice":        {"format: 1\nmemories: {1: {general-1: {on: [octave-4]}}, 01: {general-1: {off: [octave-4]}}}\n", "memory.yaml:2:46: a memory with the number 1 stands here a second time"},
		"a stage twice":         {"format: 1\ncrescendo: {\"1\": {2: [octave-4], +2: []}}\n", "memory.yaml:2:34: a stage with the number 2 stands here a second time"},
		"a control twice":       {"format: 1\nmemories: {1: {general-1: {on: [octave-4], off: [octave-4]}}}\n", "memory.yaml:2:50: octave-4 stands in this combination a second time"},
		"a button twice":        {"format: 1\nmemories: {1: {general-1: {}, general-1: {}}}\n", "memory.yaml:2:31: general-1 stands here a second time"},
		"nothing":               {"", "memory.yaml: is empty"},
	} {
		t.Run(name, func(t *testing.T) {
			memories, findings := combination.Read(in, "memory.yaml", []byte(c.text))
			require.Nil(t, memories)
			require.NotEmpty(t, findings)
			text := findings[0].Place.String() + ": " + findings[0].Message
			require.True(t, strings.HasPrefix(text, c.want), text)
		})
	}
}

// anyMemories draws memories by way of the console that captures them.
func anyMemories(t *rapid.T) *combination.Memories {
	p := newPlayer(t, parse(t, small))
	for range rapid.IntRange(0, 6).Draw(t, "captures") {
		p.registration()
		p.do(console.Event{Kind: console.MemoryEvent, Value: rapid.IntRange(1, 2).Draw(t, "memory")})
		p.capture(p.piston(console.General, console.Divisional, console.TuttiKind))
	}
	return p.c.Memories()
}

func TestMemoriesAreReadAsTheyWereWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyMemories(t)
		again, findings := combination.Read(parse(t, small), "memory.yaml", m.Text())
		require.Empty(t, findings)
		require.Equal(t, m.Sheet(), again.Sheet())
		require.Equal(t, m.Set(), again.Set())
	})
}

// What was not changed is written as it was read, remarks and all, so that a
// change that is taken back leaves nothing behind.
func TestAFileThatWasNotChangedIsWrittenAsItWas(t *testing.T) {
	for _, text := range []string{
		"format: 1 # mine\nmemories: {1: {general-1: {on: [octave-4]}}}\n",
		"format: 1 # mine\nlocked: [2]\nmemories: {1: {general-1: {on: [octave-4]}}}\n",
	} {
		in := parse(t, small)
		m, findings := combination.Read(in, "memory.yaml", []byte(text))
		require.NotNil(t, m, "%v", findings)
		require.Equal(t, text, string(m.Text()))
		c := combination.New(in, m)
		c.Do(0, console.Event{Kind: console.ClearEvent, From: console.Slot{Memory: 1, Button: 3}})
		c.Do(0, console.Event{Kind: console.SavedEvent, Value: 1})
		c.Do(0, console.Event{Kind: console.UndoEvent})
		require.Equal(t, text, string(c.Saving().Text()))
	}
}

func TestSheetsAreReadAsTheyWereWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyMemories(t)
		var csv, xlsx bytes.Buffer
		require.NoError(t, m.WriteCSV(&csv))
		require.NoError(t, m.WriteXLSX(&xlsx))
		empty := combination.NewMemories(parse(t, small))
		fromCSV, findings := empty.ReadCSV("sheet.csv", csv.Bytes())
		require.Empty(t, findings)
		require.Equal(t, m.Sheet(), fromCSV.Sheet())
		fromXLSX, findings := empty.ReadXLSX("sheet.xlsx", xlsx.Bytes())
		require.Empty(t, findings)
		require.Equal(t, m.Sheet(), fromXLSX.Sheet())
	})
}

// As people's spreadsheets write them: semicolons or tabs, a byte-order mark,
// CRLF, blank rows, remarks, columns in another order, capitals.
func TestSheetsFromElsewhere(t *testing.T) {
	in := parse(t, small)
	for name, text := range map[string]string{
		"semicolons, mark and CRLF": "\ufeffbutton;memory;octave-4;principal-8\r\n\r\ngeneral-1;2;ON;Off\r\n",
		"tabs and a remark":         "# mine\nmemory\toctave-4\tprincipal-8\tbutton\n2\ton\toff\tgeneral-1\n",
		"quotes and blanks":         "\"memory\", \"button\", \"octave-4\",\"principal-8\"\n2 , general-1, on , off\n",
		"empty cells, with tabs":    "memory\tbutton\tsubbass-16\toctave-4\tprincipal-8\n2\tgeneral-1\t\ton\toff\n",
	} {
		t.Run(name, func(t *testing.T) {
			m, findings := combination.NewMemories(in).ReadCSV("sheet.csv", []byte(text))
			require.Empty(t, findings)
			require.Equal(t, &combination.Combination{On: []int{1}, Off: []int{0}}, m.Combination(console.Slot{Memory: 2, Button: 3}))
		})
	}
}

func TestWhatIsWrongInASheet(t *testing.T) {
	in := parse(t, small)
	for name, c := range map[string]struct{ text, want string }{
		"no button column":   {"memory,octave-4\n1,on\n", "sheet.csv:1: the columns memory and button are missing, or one of them"},
		"a column twice":     {"memory,button,octave-4,octave-4\n", "sheet.csv:1: column octave-4 stands here a second time"},
		"a column unnamed":   {"memory,button,,octave-4\n", "sheet.csv:1: column 3 has no name"},
		"neither on nor off": {"memory,button,octave-4\n1,general-1,yes\n", "sheet.csv:2: octave-4 is on, off or nothing, not \"yes\""},
		"no memory":          {"memory,button,octave-4\n0,general-1,on\n", "sheet.csv:2: a memory is a number from 1 to 9999, not \"0\""},
		"a row twice":        {"memory,button\n1,general-1\n\n1,general-1\n", "sheet.csv:4: 1/general-1 stands in line 2 too"},
		"a cell too many":    {"memory,button\n1,general-1,on\n", "sheet.csv:2: 3 cells under 2 columns"},
		"an open quote":      {"memory,button\n1,\"general-1\n", "sheet.csv:2: "},
		"nothing":            {"\n", "sheet.csv:1: is empty; its first row names the columns"},
	} {
		t.Run(name, func(t *testing.T) {
			m, findings := combination.NewMemories(in).ReadCSV("sheet.csv", []byte(c.text))
			require.Nil(t, m)
			text := findings[0].Place.String() + ": " + findings[0].Message
			require.True(t, strings.HasPrefix(text, c.want), text)
		})
	}
	m, findings := combination.NewMemories(in).ReadXLSX("sheet.xlsx", []byte("no workbook"))
	require.Nil(t, m)
	require.Len(t, findings, 1)
}

func TestASheetKeepsWhatTheInstrumentDoesNotHave(t *testing.T) {
	in := parse(t, small)
	m, findings := combination.NewMemories(in).ReadCSV("sheet.csv", []byte("memory,button,=gone,octave-4\n1,general-1,on,off\n1,general-99,,on\n"))
	require.NotNil(t, m)
	require.Equal(t, 2, finding.Count(findings, finding.Warning))
	require.Contains(t, string(m.Text()), `"=gone"`)
	require.Contains(t, string(m.Text()), "general-99")
	var csv bytes.Buffer
	require.NoError(t, m.WriteCSV(&csv))
	require.Contains(t, csv.String(), "'=gone", "a cell that a spreadsheet would calculate")
}

// Whatever a memory file says, reading it does not panic, and what can be read
// is written so that it reads the same.
func FuzzRead(f *testing.F) {
	for _, text := range []string{
		"format: 1\n", "format: 1\nmemories: {1: {general-1: {on: [octave-4], off: []}}}\n",
		"format: 1\nlocked: [1]\ntutti: [x]\ncrescendo: {\"1\": {2: [y]}}\nreversibles: {reverse: z}\n",
		"format: 1\nmemories: {1: {\"null\": {on: [\"true\", \"a b\"]}}}\n",
	} {
		f.Add(text)
	}
	in := parse(f, small)
	f.Fuzz(func(t *testing.T, text string) {
		m, _ := combination.Read(in, "memory.yaml", []byte(text))
		if m == nil {
			return
		}
		// A change that changes nothing lets the file be written anew.
		c := combination.New(in, m)
		c.Do(0, console.Event{Kind: console.LockEvent, From: console.Slot{Memory: 1}, Value: map[bool]int{true: 1}[m.Locked(1)]})
		written := c.Saving().Text()
		again, findings := combination.Read(in, "memory.yaml", written)
		require.NotNil(t, again, "%s\n%v", written, findings)
		require.Equal(t, m.Sheet(), again.Sheet())
	})
}
