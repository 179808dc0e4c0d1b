package main

import (
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// shown is what a running command has written so far.
type shown struct {
	mu   sync.Mutex
	text strings.Builder
}

func (s *shown) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.Write(p)
}

func (s *shown) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.String()
}

// A player at a console on a port works what is asked for, and writes words in
// between: each is answered before the next is done.
func TestLearningFromAPortWithThePlayersWords(t *testing.T) {
	dir := t.TempDir()
	organ, port := filepath.Join(dir, "organ.yaml"), filepath.Join(dir, "port")
	require.NoError(t, os.WriteFile(organ, []byte(`format: 1
keyboards: {great: {kind: manual, keys: C2..C3}}
divisions: {great: {keyboard: great, notes: C2..C3, chest: unit}}
ranks: {flute: {division: great, family: flute, feet: 8, pipes: 40}}
stops:
  a: {division: great, feet: 8, rank: flute}
  b: {division: great, feet: 8, rank: flute}
  c: {division: great, feet: 8, rank: flute}
  d: {division: great, feet: 8, rank: flute}
  e: {division: great, feet: 8, rank: flute}
# The end.
`), 0o600))
	in, words := io.Pipe()
	var stdout, stderr shown
	exit := make(chan int)
	go func() {
		exit <- run([]string{"learn", organ, "--in", "pty:" + port, "--only", "stops", "--knobs", "spring", "--write"}, in, &stdout, &stderr)
	}()
	read := 0 // of what it said before the last step
	answered := func(text string) {
		t.Helper()
		require.Eventually(t, func() bool { return strings.Contains(stderr.String()[read:], text) }, 20*time.Second, time.Millisecond, "it never said %q", text)
	}
	answered("1 of 5: press a\n")
	hardware, err := os.OpenFile(port, os.O_WRONLY, 0)
	require.NoError(t, err)
	for _, step := range []struct {
		bytes  []byte
		word   string
		answer string
	}{
		{[]byte{0x90, 10, 1}, "", "a: press: note 10 on channel 1\n"},
		{[]byte{0x90, 10, 1}, "", "note 10 on channel 1 is a already\n"},
		{[]byte{0x90, 99, 1}, "", "b: press: note 99 on channel 1\n"},
		{nil, "what", "no word what: they are skip, back, rule, only and end\n"},
		{nil, "rule", "no rule is proposed\n"},
		{nil, "back", "2 of 5: press b\n"},
		{[]byte{0x90, 11, 1}, "", "b: press: note 11 on channel 1\n"},
		{[]byte{0x90, 12, 1}, "", "a to c are notes from 10 on channel 1; the rule goes on with d to e: write rule to take that\n"},
		{nil, "r", "to make sure, turn on the last of them, e\n"},
		{[]byte{0x90, 14, 1}, "", "d to e: by the rule\n"},
	} {
		read = len(stderr.String())
		if step.bytes != nil {
			_, err = hardware.Write(step.bytes)
		} else {
			_, err = io.WriteString(words, step.word+"\n")
		}
		require.NoError(t, err)
		answered(step.answer)
	}
	require.Equal(t, exitGood, <-exit, stderr.String())
	require.NoError(t, hardware.Close())
	written, err := os.ReadFile(organ)
	require.NoError(t, err)
	require.Contains(t, string(written), "# The end.\n\nmidi:\n  controls:\n    stops: {press: notes from 10 on channel 1}\n")
}

// Ctrl-C leaves the file alone that --write names, and keeps what was learned beside it;
// that of --to is new, and gets it.
func TestLearningThatIsInterruptedIsKept(t *testing.T) {
	for name, x := range map[string]struct {
		args []string
		to   string
	}{"beside the file": {[]string{"--write"}, "organ-learned-2.yaml"}, "in a new one": {[]string{"--to", "new.yaml"}, "new.yaml"}} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			organ, link := filepath.Join(dir, "organ.yaml"), filepath.Join(dir, "cable")
			require.NoError(t, os.WriteFile(organ, []byte(fewKnobs), 0o600))
			require.NoError(t, os.WriteFile(filepath.Join(dir, "organ-learned.yaml"), nil, 0o600), "of another day")
			t.Chdir(dir)
			far := plug(t, link)
			program, stdout, stderr := startOn(t, link, append([]string{"learn", "organ.yaml", "--in", "serial:" + link, "--only", "stops"}, x.args...)...)
			says(t, stderr, "end stops and keeps what was learned\n")
			says(t, stderr, "1 of 3: ")
			_, err := far.Write([]byte{0x90, 10, 1, 0x80, 10, 0})
			require.NoError(t, err)
			says(t, stderr, "2 of 3: ")
			require.NoError(t, program.Process.Signal(os.Interrupt))
			requireExit(t, exitInterrupted, program.Wait())
			require.NoError(t, far.Close())
			require.Equal(t, "wrote the section midi of "+x.to+"\n", stdout.String())
			if x.args[0] == "--write" {
				require.Contains(t, stderr.String(), "organ.yaml stays as it was, for only end writes it: what was learned is kept in organ-learned-2.yaml, a copy of it\n")
			}
			require.Equal(t, fewKnobs, string(read(organ)))
			in, m, err := loadMap(x.to)
			require.NoError(t, err)
			require.Len(t, in.Stops, 3)
			require.Len(t, m.Entries, 1)
		})
	}
}

// Where nothing was learned, nothing is written anywhere.
func TestLearningOfNothingThatIsInterrupted(t *testing.T) {
	dir := t.TempDir()
	organ, link := filepath.Join(dir, "organ.yaml"), filepath.Join(dir, "cable")
	require.NoError(t, os.WriteFile(organ, []byte(fewKnobs), 0o600))
	far := plug(t, link)
	program, stdout, stderr := startOn(t, link, "learn", organ, "--in", "serial:"+link, "--only", "stops", "--write")
	says(t, stderr, "1 of 3: ")
	require.NoError(t, program.Process.Signal(os.Interrupt))
	requireExit(t, exitInterrupted, program.Wait())
	require.NoError(t, far.Close())
	require.Contains(t, stderr.String(), "nothing was learned, and nothing is written\n")
	require.Empty(t, stdout.String())
	require.Equal(t, fewKnobs, string(read(organ)))
	require.NoFileExists(t, filepath.Join(dir, "organ-learned.yaml"))
}
