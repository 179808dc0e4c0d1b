package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// pistonOrgan is an instrument whose pistons, knobs and valves have messages.
const pistonOrgan = `format: 1
instrument: Pistons
keyboards: {manual: {kind: manual, keys: C4..E4}}
divisions: {manual: {keyboard: manual, notes: C4..E4, chest: unit}}
ranks:
  flute: {division: manual, family: flute, feet: 8, from: C4, pipes: 17}
stops:
  flute-8: {division: manual, feet: 8, rank: flute}
  flute-4: {division: manual, feet: 4, rank: flute}
combination:
  memories: 2
  travel: 100
  buttons:
    general-1: {kind: general}
    general-2: {kind: general}
    set: {kind: set}
    cancel: {kind: cancel}
    tutti: {kind: tutti}
tutti: {adds: [flute-4]}
midi:
  keys: {manual: channel 1}
  controls: {stops: notes from 0 on channel 16}
  buttons: {all: notes from 64 on channel 16}
  valves: {flute: {channel: 2, way: to-console}}
`

// setPistons sets a general with one stop and another with both, and draws all off.
const setPistons = `draw flute-8
expect nothing for 50ms
press set
press general-1
release general-1
release set
expect set on within 5s
expect general-1 on within 5s
expect set off within 5s
draw flute-4
expect general-1 off within 5s
press set
press general-2
release general-2
release set
expect set on within 5s
expect general-2 on within 5s
expect set off within 5s
press cancel
release cancel
`

const cancelled = `expect general-2 off within 5s
expect flute-8 off within 5s
expect flute-4 off within 5s
press manual C4
expect nothing for 100ms
press general-2
release general-2
expect general-2 on within 5s
expect flute-8 on within 5s
expect flute-4 on within 5s
expect flute:1 on within 5s
`

// Two programs over a pseudo-terminal: pistons set and pressed over MIDI under a key
// that is held. What is expected is what an organ with pistons does; a step that
// fails says what is wrong with it.
func TestPistonsOfAStandInArePressedByAScript(t *testing.T) {
	files := newFiles(t, pistonOrgan)
	for name, x := range map[string]struct {
		args   []string
		script string
		fails  string // the last step, and why
		says   string // the stand-in
	}{
		"as it should be": {nil, cancelled + "expect flute:13 on within 5s\npress general-1\nrelease general-1\n" +
			"expect general-2 off within 5s\nexpect general-1 on within 5s\nexpect flute-4 off within 5s\nexpect flute:13 off within 5s\nexpect nothing for 100ms\n" +
			"press tutti\nrelease tutti\nexpect tutti on within 5s\nexpect flute:13 on within 5s\nexpect nothing for 100ms\n" +
			"press cancel\nrelease cancel\nexpect flute-8 off within 5s\nexpect flute:1 off within 5s\nexpect flute:13 off within 5s\n", "", "captured 1/general-2"},
		"a wire is open": {[]string{"--fault", "pin-open:X1.13"}, cancelled + "expect flute:13 on within 300ms\n",
			"expect flute:13 on within 300ms: nothing came", "pin-open: X1.13 open"},
		"a knob is stuck": {[]string{"--stuck", "flute-8"}, "expect general-2 off within 5s\nexpect flute-4 off within 5s\nexpect flute-8 off within 1s\n",
			"expect flute-8 off within 1s: nothing came", "flute-8 does not go off: its contact did not move"},
		"all keys are read while knobs move": {nil, cancelled + "expect flute:13 on within 5s\npress general-1\nrelease general-1\nexpect flute:13 off within 5s\nexpect flute:1 off within 300ms\n",
			"expect flute:1 off within 300ms: general-2 off, general-1 on, flute-4 off came instead", "captured 1/general-2"},
		"no key is read while knobs move": {[]string{"--drop", "200ms"}, cancelled + "expect flute:13 on within 5s\npress general-1\nrelease general-1\n" +
			"expect flute:13 off within 5s\nexpect flute:1 off within 5s\nexpect flute:1 on within 5s\n", "", "captured 1/general-2"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			dir := t.TempDir()
			link, script := filepath.Join(dir, "cable"), filepath.Join(dir, "pistons.bench")
			require.NoError(t, os.WriteFile(script, []byte(setPistons+x.script), 0o600))
			standin, said, _ := startOn(t, link, append([]string{"standin", files.organ, "--relay", files.relay, "--in", "pty:" + link, "--out", "pty:" + link}, x.args...)...)
			says(t, said, "standing in")
			bench, stdout, stderr := startOn(t, link, "bench", script, "--on", files.organ, "--in", "serial:"+link, "--out", "serial:"+link)
			err := bench.Wait()
			require.NoError(t, standin.Process.Signal(os.Interrupt))
			requireExit(t, exitInterrupted, standin.Wait())
			require.Contains(t, said.String(), x.says)
			if x.fails == "" {
				require.NoError(t, err, "%s%s", stdout, stderr)
				return
			}
			requireExit(t, exitBad, err)
			require.Contains(t, stdout.String(), "failed: "+x.fails+"\n")
			require.Contains(t, stdout.String(), " passed, 1 failed, 0 not run")
		})
	}
}

// What is set is in the file, and is there for the next one.
func TestAStandInKeepsWhatIsSet(t *testing.T) {
	files := newFiles(t, pistonOrgan)
	dir := t.TempDir()
	link, memory := filepath.Join(dir, "cable"), filepath.Join(dir, "memory.yaml")
	for _, text := range []string{setPistons, "press general-1\nrelease general-1\nexpect flute-8 on within 5s\n"} {
		script := filepath.Join(dir, "pistons.bench")
		require.NoError(t, os.WriteFile(script, []byte(text), 0o600))
		standin, said, _ := startOn(t, link, "standin", files.organ, "--relay", files.relay, "--in", "pty:"+link, "--out", "pty:"+link, "--memory", memory)
		says(t, said, "standing in")
		bench, stdout, stderr := startOn(t, link, "bench", script, "--on", files.organ, "--in", "serial:"+link, "--out", "serial:"+link)
		require.NoError(t, bench.Wait(), "%s%s", stdout, stderr)
		require.NoError(t, standin.Process.Signal(os.Interrupt))
		requireExit(t, exitInterrupted, standin.Wait())
	}
}

// A walk presses pistons over the same cable, and what comes back answers for them;
// of a knob that is stuck nothing comes, and a person has to say so.
func TestPistonsOfAStandInAreTickedOffByAWalk(t *testing.T) {
	files := newFiles(t, pistonOrgan)
	for name, x := range map[string]struct {
		args   []string
		ticked []string
		dead   []string
	}{
		"as it should be": {nil, []string{"piston general-1", "piston general-2", "piston cancel", "piston tutti"}, nil},
		"a knob is stuck": {[]string{"--stuck", "flute-8"}, []string{"piston general-2", "piston tutti"}, []string{"piston general-1", "piston cancel"}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			dir := t.TempDir()
			link, day := filepath.Join(dir, "cable"), filepath.Join(dir, "day.jsonl")
			standin, said, _ := startOn(t, link, append([]string{"standin", files.organ, "--relay", files.relay, "--in", "pty:" + link, "--out", "pty:" + link}, x.args...)...)
			says(t, said, "standing in")
			program, stdin, stdout, _ := startWalk(t, link, files.organ, "--relay", files.relay, "--in", "serial:"+link, "--out", "serial:"+link, "--to", day, "--who", "Ann")
			p := &person{t: t, stdin: stdin, stdout: stdout}
			do := ""
			for _, do = p.next(); !strings.HasPrefix(do, "set flute-8 on general-1"); _, do = p.next() {
				p.say("clear")
				p.say("rest")
			}
			p.say("clear")
			says(t, said, "captured 1/general-1")
			p.say("good")
			for !strings.HasPrefix(do, "all stops and couplers") {
				_, do = p.next()
				piston, pressed := strings.CutPrefix(do, "press ")
				if strings.Contains(do, "set flute-4") || piston == "cancel" {
					p.say("done")
				}
				switch {
				case strings.Contains(do, "set flute-4"):
					says(t, said, "captured 1/general-2")
					p.say("good")
				case slices.Contains(x.dead, "piston "+piston):
					p.say("dead")
				case !pressed || piston == "set":
					p.insist("good")
				}
			}
			p.say("end")
			requireExit(t, exitBad, program.Wait())
			require.NoError(t, standin.Process.Signal(os.Interrupt))
			requireExit(t, exitInterrupted, standin.Wait())
			var ticked, dead []string
			for _, e := range answersOf(t, day) {
				switch {
				case e.Who == thePort:
					ticked = append(ticked, e.Answer.Step)
				case !e.Answer.Good:
					dead = append(dead, e.Answer.Step)
				}
			}
			require.Equal(t, x.ticked, ticked)
			require.Equal(t, x.dead, dead)
		})
	}
}

// insist answers a step that came just now, of which a walk asks whether it is meant.
func (p *person) insist(word string) {
	p.t.Helper()
	again := "write " + word + " again"
	before := strings.Count(p.stdout.String(), again)
	p.say(word)
	require.Eventually(p.t, func() bool {
		if said := p.stdout.String(); strings.Count(said, again) > before {
			p.say(word)
			return true
		} else {
			return len(asked.FindAllString(said, -1)) > p.seen
		}
	}, 20*time.Second, time.Millisecond, "no answer is taken")
}
