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

// Ctrl-C writes nothing, shows what was learned, and says where it belongs.
func TestLearningThatIsInterruptedSaysHowToKeepIt(t *testing.T) {
	dir := t.TempDir()
	organ, link := filepath.Join(dir, "organ.yaml"), filepath.Join(dir, "cable")
	require.NoError(t, os.WriteFile(organ, []byte(fewKnobs), 0o600))
	far := plug(t, link)
	program, stdout, stderr := startOn(t, link, "learn", organ, "--in", "serial:"+link, "--only", "stops", "--write")
	says(t, stderr, "end stops and keeps what was learned\n")
	says(t, stderr, "1 of 3: ")
	_, err := far.Write([]byte{0x90, 10, 1, 0x80, 10, 0})
	require.NoError(t, err)
	says(t, stderr, "2 of 3: ")
	require.NoError(t, program.Process.Signal(os.Interrupt))
	requireExit(t, exitInterrupted, program.Wait())
	require.NoError(t, far.Close())
	require.Contains(t, stderr.String(), "nothing was written, for end does that: the section midi below is what was learned; put it into "+organ+" by hand\n")
	require.Contains(t, stdout.String(), "midi:\n  controls:\n    flute-8: ")
	kept, err := os.ReadFile(organ)
	require.NoError(t, err)
	require.Equal(t, fewKnobs, string(kept))
}
