package main

import (
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/midiio"
	"trundle/midiio/mapping"
)

// startWalk starts a walk that is answered by what is written to stdin.
func startWalk(t *testing.T, link string, args ...string) (program *exec.Cmd, stdin io.WriteCloser, stdout, stderr *spoken) {
	t.Helper()
	path, err := exec.LookPath("trundle")
	require.NoError(t, err)
	program = exec.Command(path, append([]string{"walk"}, args...)...)
	program.Env = append(program.Environ(), "XDG_CACHE_HOME="+filepath.Dir(link))
	stdout, stderr = &spoken{}, &spoken{}
	program.Stdout, program.Stderr = stdout, stderr
	stdin, err = program.StdinPipe()
	require.NoError(t, err)
	require.NoError(t, program.Start())
	return program, stdin, stdout, stderr
}

// fewKnobs is an instrument whose knobs arrive at once, so that a test of them
// takes little time.
const fewKnobs = `format: 1
instrument: Bench
keyboards: {manual: {kind: manual, keys: C4..E4}}
divisions: {manual: {keyboard: manual, notes: C4..E4, chest: unit}}
ranks: {flute: {division: manual, family: flute, feet: 8, from: C4, pipes: 5}}
stops:
  flute-8: {division: manual, feet: 8, rank: flute}
  flute-4: {division: manual, feet: 4, rank: flute}
  flute-2: {division: manual, feet: 2, rank: flute}
combination: {travel: 200}
`

const fewKnobsRelay = `format: 1
boards: {K1: {kind: input, pins: 5}, S1: {kind: input, pins: 3}, N1: {kind: output, pins: 6}, X1: {kind: output, pins: 5}}
cables: {CN1: {wires: 50, code: 25-pair}}
wiring: [wiring.csv]
`

const fewKnobsWiring = `board,pins,kind,item,notes,cable,wires
K1,1..5,key,manual,C4..E4,,
S1,1,stop,flute-8,,,
S1,2,stop,flute-4,,,
S1,3,stop,flute-2,,,
N1,1,knob-on,flute-8,,CN1,1
N1,2,knob-off,flute-8,,CN1,2
N1,3,knob-on,flute-4,,CN1,3
N1,4,knob-off,flute-4,,CN1,4
N1,5,knob-on,flute-2,,CN1,5
N1,6,knob-off,flute-2,,CN1,6
X1,1..5,valve,flute,1..5,,
`

// jambs are the knobs of an instrument at the far end of a cable: coils that move
// them, contacts that say so. The coil that draws the one named dead does nothing.
// What is written to hand moves all of them by hand.
func jambs(t *testing.T, organ, link, dead string) (hand func(value int)) {
	in, m, err := loadMap(organ)
	require.NoError(t, err)
	port := plug(t, link)
	heard := midiio.Listen(port, midiio.NewClock())
	end := m.End(mapping.AtConsole, "jambs")
	var one sync.Mutex
	say := func(s mapping.Signal) {
		one.Lock()
		defer one.Unlock()
		for _, m := range end.Tell(nil, s) {
			_, _ = port.Write(m.Bytes()) // the test ends without it
		}
	}
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		for range heard.Ready() {
			taken := heard.Take()
			for _, message := range taken.Messages {
				one.Lock()
				signals := slices.Clone(end.Hear(message).Signals)
				one.Unlock()
				for _, s := range signals {
					if s.Kind == mapping.Control && (s.Value == 0 || in.Controls[s.Index].ID != dead) {
						say(s)
					}
				}
			}
			if taken.Closed {
				return
			}
		}
	}()
	t.Cleanup(func() {
		_ = heard.Close()
		<-ended
	})
	return func(value int) {
		for c := range in.Controls {
			say(mapping.Signal{Thing: mapping.Thing{Kind: mapping.Control, Index: c}, Value: value})
		}
	}
}

// Knobs tested by a program over a pseudo-terminal: what is dead is named with its
// pin and its wire, and every round is in the record of the day.
func TestTheKnobTestIsKeptInTheRecordOfTheDay(t *testing.T) {
	dir := t.TempDir()
	file := func(name string) string { return filepath.Join(dir, name) }
	for name, text := range map[string]string{"organ.yaml": fewKnobs, "relay.yaml": fewKnobsRelay, "wiring.csv": fewKnobsWiring} {
		require.NoError(t, os.WriteFile(file(name), []byte(text), 0o600))
	}
	link, day := file("cable"), file("day.jsonl")
	hand := jambs(t, file("organ.yaml"), link, "flute-4")
	program, stdin, stdout, stderr := startWalk(t, link, file("organ.yaml"), "--relay", file("relay.yaml"), "--in", "serial:"+link, "--out", "serial:"+link, "--knobs", "--to", day, "--who", "Ann")
	answer := func(asked, line string) {
		says(t, stdout, asked)
		_, err := io.WriteString(stdin, line+"\n")
		require.NoError(t, err)
	}
	answer("write clear when the jambs are", "clear")
	says(t, stdout, "push in all knobs by hand")
	hand(0)
	answer("push in all knobs by hand", "done")
	says(t, stdout, "draw all knobs by hand")
	hand(1)
	answer("draw all knobs by hand", "done")
	err := program.Wait()
	require.Contains(t, stdout.String(), "flute-4: its coil that draws it is dead\n  N1.3 to knob-on flute-4 by CN1 wire 3\n", stderr.String())
	requireExit(t, exitBad, err)

	a, err := loadDay(day)
	require.NoError(t, err)
	require.True(t, a.Whole)
	require.Equal(t, []string{"Ann"}, a.Who)
	require.Len(t, a.Entries, 2+4*6+1, "2 * ceil(log2(3 + 2)) rounds each way, moves by hand, and the verdict")
	require.Len(t, a.Open, 1, stdout.String())
	require.Equal(t, []string{"N1.3"}, a.Open[0].Answer.Pins)
	show := func(form string) string {
		var out, log strings.Builder
		require.Equal(t, exitBad, run([]string{"day", day, "--format", form}, strings.NewReader(""), &out, &log), log.String())
		return out.String()
	}
	for _, form := range []string{"text", "html"} {
		require.Contains(t, show(form), "not as they should be: flute-4", form)
		require.Contains(t, show(form), "test knobs of Bench: not good", form)
	}
	requireValid(t, "day", show("json"))
}
