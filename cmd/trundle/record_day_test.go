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

	"trundle/sim/walk"
)

func newYear() time.Time { return time.Date(2027, 1, 1, 9, 0, 0, 0, time.UTC) }

// fourNotes is a record of four lines.
func fourNotes(t *testing.T) (path string, data []byte) {
	path = filepath.Join(t.TempDir(), "day.jsonl")
	for _, words := range []string{"one", "two", "three", "four"} {
		book, before, err := openDay(path, newYear)
		require.NoError(t, err)
		for _, l := range before {
			require.False(t, l.Broken || l.Changed || l.Damaged)
		}
		require.NoError(t, book.add(dayEntry{Kind: "note", Words: words, Who: "Ann"}))
		require.NoError(t, book.close())
	}
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return path, data
}

func TestTheSealOfARecordIsTheSHA256OfItsFile(t *testing.T) {
	_, data := fourNotes(t)
	lines, seal := readDay(data)
	require.Len(t, lines, 4)
	require.Equal(t, fmt.Sprintf("sha256:%x", sha256.Sum256(data)), seal)
}

// Every byte in turn, the ends of lines too: the record is not whole, the line is
// named, and nothing more is written to it.
func TestAByteThatIsChangedShowsAndInWhichLine(t *testing.T) {
	path, data := fourNotes(t)
	for i := range data {
		changed := bytes.Clone(data)
		changed[i] ^= 0x01
		require.NoError(t, os.WriteFile(path, changed, 0o600))
		a, err := loadDay(path)
		require.NoError(t, err, "byte %d", i)
		require.True(t, a.bad(), "byte %d", i)
		line := 1 + bytes.Count(data[:i], []byte("\n"))
		want := fmt.Sprintf("NOT WHOLE: line %d was changed after it was written", line)
		if i == len(data)-1 {
			want = fmt.Sprintf("NOT WHOLE: line %d was cut off", line)
		}
		require.Contains(t, a.state(), want, "byte %d", i)
		if i < len(data)-1 {
			_, _, err = openDay(path, newYear)
			require.Error(t, err, "byte %d", i)
		}
	}
}

// Lines off the end, and a record that is written anew, show by the seal on paper.
func TestARecordIsHeldToTheSealThatWasSigned(t *testing.T) {
	path, data := fourNotes(t)
	signed := fmt.Sprintf("%x", sha256.Sum256(data))
	state := func(exit int, seal string) string {
		var stdout, stderr strings.Builder
		require.Equal(t, exit, run([]string{"day", path, "--seal", seal}, nil, &stdout, &stderr), stderr.String())
		return stdout.String()
	}
	require.Contains(t, state(exitGood, "sha256:"+signed), "\nas signed\n")
	require.Contains(t, state(exitGood, strings.ToUpper(signed[:8])), "\nas signed\n")
	require.Contains(t, state(exitGood, signed[:4]+" "+signed[4:8]+"..."), "\nas signed\n", "as it is copied from paper")
	require.Contains(t, state(exitGood, signed[:5]), "\nas signed, as far as 5 digits of the seal tell\n")
	other := map[bool]string{true: "0", false: "f"}[signed[0] == 'f'] + signed[1:6]
	require.Contains(t, state(exitBad, other), "\nNOT AS SIGNED: it never had a seal that begins with "+other+"\n")
	book, _, err := openDay(path, newYear)
	require.NoError(t, err)
	require.NoError(t, book.add(dayEntry{Kind: "note", Words: "more"}))
	require.NoError(t, book.close())
	require.Contains(t, state(exitGood, signed), "\nas signed up to line 4; 1 line added since\n")

	shorter := data[:bytes.LastIndexByte(data[:len(data)-1], '\n')+1]
	require.NoError(t, os.WriteFile(path, shorter, 0o600))
	require.Contains(t, state(exitBad, signed), "\nNOT AS SIGNED: it never had the seal "+signed+"\n")
	for seal, want := range map[string]string{
		"":             "trundle: --seal '': too few digits to tell anything; write at least four, better eight, like 9f4bbcd2\n",
		"9f4":          "trundle: --seal 9f4: too few digits to tell anything; write at least four, better eight, like 9f4bbcd2\n",
		"9f4o":         "trundle: --seal 9f4o: 'o' is no digit of a seal; they are 0 to 9 and a to f, like 9f4bbcd2\n",
		signed + "9f4": "trundle: --seal " + signed + "9f4: has 67 digits; a seal has 64\n",
	} {
		var stdout, stderr strings.Builder
		require.Equal(t, exitFailed, run([]string{"day", path, "--seal", seal}, nil, &stdout, &stderr))
		require.Contains(t, stderr.String(), want)
	}
}

func TestLinesThatAreTakenOutPutInOrMovedShow(t *testing.T) {
	_, data := fourNotes(t)
	lines := strings.SplitAfter(string(data), "\n")[:4]
	for name, x := range map[string]struct {
		lines []string
		want  int
	}{
		"taken out": {[]string{lines[0], lines[2], lines[3]}, 2},
		"the first": {lines[1:], 1},
		"put in":    {[]string{lines[0], lines[1], lines[1], lines[2], lines[3]}, 3},
		"moved":     {[]string{lines[0], lines[2], lines[1], lines[3]}, 2},
	} {
		t.Run(name, func(t *testing.T) {
			read, seal := readDay([]byte(strings.Join(x.lines, "")))
			require.Contains(t, answerDay("", read, seal).state(), fmt.Sprintf("NOT WHOLE: before line %d lines were taken out, put in or moved", x.want))
		})
	}
}

func TestARecordGoesOnBehindALineThatWasCutOff(t *testing.T) {
	path, data := fourNotes(t)
	for cut := 2; cut < 40; cut += 13 {
		require.NoError(t, os.WriteFile(path, data[:len(data)-cut], 0o600))
		book, _, err := openDay(path, newYear)
		require.NoError(t, err)
		require.NoError(t, book.add(dayEntry{Kind: "note", Words: "said"}))
		require.NoError(t, book.close())
		a, err := loadDay(path)
		require.NoError(t, err)
		require.Equal(t, []int{4}, a.Damaged)
		require.Empty(t, a.Broken)
		require.Empty(t, a.Changed)
	}
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitBad, run([]string{"walk", "examples/smallest/organ.yaml", "--to", path}, strings.NewReader(""), &stdout, &stderr))
	require.Contains(t, stderr.String(), path+":4: this line was cut off as it was written; what it said is asked again")
}

// Two that write on one record, each opened before the other wrote.
func TestSeveralMayWriteOnARecord(t *testing.T) {
	path, _ := fourNotes(t)
	const each = 40
	done := make(chan error)
	for who := range 3 {
		book, _, err := openDay(path, newYear)
		require.NoError(t, err)
		go func() {
			for range each {
				if err := book.add(dayEntry{Kind: "note", Who: fmt.Sprint(who)}); err != nil {
					done <- err
					return
				}
			}
			done <- book.close()
		}()
	}
	for range 3 {
		require.NoError(t, <-done)
	}
	a, err := loadDay(path)
	require.NoError(t, err)
	require.Len(t, a.Entries, 4+3*each)
	require.False(t, a.bad())
}

// Of several mistakes nothing tells which it is, so one thing is open.
func TestOneOfSeveralMistakesIsOneFault(t *testing.T) {
	either := []mistakeAnswer{{Class: "wrong-keyboard", Where: "switching.csv:20"}, {Class: "wrong-control", Where: "switching.csv:13"}}
	place := func(m mistakeAnswer) walk.Place {
		return walk.Place{Board: "X1", Pins: []string{"X1.1", m.Class}, Legs: []string{"X1.1 to valve flute:1"}}
	}
	require.Equal(t, dayFailure{"either wrong-keyboard: switching.csv:20; or wrong-control: switching.csv:13", "X1", []string{"X1.1", "wrong-keyboard", "wrong-control"}, []string{"X1.1 to valve flute:1"}},
		oneOf(either, place))
	require.Equal(t, "wrong-control: switching.csv:13", oneOf(either[1:], place).What)
}

// A test that failed is open until the same test is made again and is good.
func TestATestIsOpenUntilItIsMadeAgain(t *testing.T) {
	path, _ := fourNotes(t)
	whole := dayTest{Test: "whole", On: "Saltmarsh Hall", Found: []string{"48 chords"}, Failures: []dayFailure{{What: "pins exchanged", Board: "X1", Pins: []string{"X1.13", "X1.14"}}}}
	require.NoError(t, keepTest(path, "Ann", nil, whole))
	a, err := loadDay(path)
	require.NoError(t, err)
	require.True(t, a.bad())
	require.Len(t, a.Open, 1)
	require.Equal(t, []string{"X1.13", "X1.14"}, a.Open[0].Answer.Pins)
	require.Contains(t, a.state(), "test whole of Saltmarsh Hall: not good")
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitBad, run([]string{"day", path, "--format", "json"}, nil, &stdout, &stderr), stderr.String())
	requireValid(t, "day", stdout.String())

	// The same over another port, where another relay may be, is another test.
	other := whole
	other.In, other.Out, other.Good, other.Failures = "serial:b", "serial:b", true, nil
	require.NoError(t, keepTest(path, "Ann", nil, other))
	a, err = loadDay(path)
	require.NoError(t, err)
	require.Subset(t, a.state(), []string{"test whole of Saltmarsh Hall: not good", "test whole of Saltmarsh Hall over serial:b: good"})
	require.Len(t, a.Open, 1)

	whole.Good, whole.Failures = true, nil
	require.NoError(t, keepTest(path, "Ann", nil, whole))
	a, err = loadDay(path)
	require.NoError(t, err)
	require.False(t, a.bad())
	require.Len(t, a.Tests, 2)
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

// Records of before another instrument was refused may hold two; a walk that goes on
// counts what it answers anew.
func TestInstrumentsAreKeptApartInARecord(t *testing.T) {
	book, _, err := openDay(filepath.Join(t.TempDir(), "day.jsonl"), newYear)
	require.NoError(t, err)
	begin := func(b dayBegin) { require.NoError(t, book.add(dayEntry{Kind: "begin", Begin: &b})) }
	answer := func(step string, good bool) {
		require.NoError(t, book.add(dayEntry{Kind: "answer", Answer: &dayAnswer{Step: step, Phase: "inputs", Verdict: map[bool]string{true: "good", false: "dead"}[good], Good: good, Pins: []string{}, Legs: []string{}}}))
	}
	begin(dayBegin{Instrument: "Barn", Steps: 3})
	answer("input a", false)
	answer("input b", true)
	begin(dayBegin{Instrument: "Chapel", Steps: 5})
	answer("input a", true)
	state := func() []string {
		a, err := loadDay(book.file.Name())
		require.NoError(t, err)
		state := a.state()
		return state[:len(state)-1]
	}
	require.Equal(t, []string{"Chapel: 1 of 5 steps tested: 1 good, 0 failed", "Barn: 2 of 3 steps tested: 1 good, 1 failed"}, state())
	begin(dayBegin{Instrument: "Old Barn", Was: "Barn", Steps: 2, Again: []string{"input a"}, Gone: []string{"input b"}})
	require.Equal(t, []string{"Old Barn: 0 of 2 steps tested: 0 good, 0 failed", "1 step is not what it was when answered: it comes again",
		"1 answer to what is no step any more, or not with these files: not counted", "Chapel: 1 of 5 steps tested: 1 good, 0 failed"}, state())
	answer("input a", false)
	begin(dayBegin{Instrument: "Chapel", Steps: 5})
	a, err := loadDay(book.file.Name())
	require.NoError(t, err)
	require.Equal(t, 1, a.Tested)
	require.Len(t, a.Open, 1)
	require.Equal(t, "input a of Old Barn", a.Open[0].Answer.Step)
	require.NoError(t, book.close())
}
