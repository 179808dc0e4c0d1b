package main

import (
	"net"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/midiio"
)

// practice is the smallest example with a map by which its relay reports valves.
func practice(t *testing.T) (dir string) {
	dir = t.TempDir()
	for _, name := range []string{"organ.yaml", "relay.yaml", "wiring.csv", "switching.csv"} {
		text, err := os.ReadFile(filepath.Join("examples", "smallest", name))
		require.NoError(t, err)
		if name == "organ.yaml" && !strings.Contains(string(text), "\nmidi:") {
			text = append(text, "midi:\n  keys: {manual: channel 1}\n  controls: {stops: notes from 0 on channel 16}\n"+
				"  valves: {flute: {channel: 2, way: to-console}, principal: {channel: 3, way: to-console}}\n"...)
		}
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), text, 0o600))
	}
	return dir
}

// transports are how a bench and a stand-in reach each other: the port of the
// stand-in, and that of the bench.
func transports(t *testing.T, dir string) map[string][2]string {
	conn, err := net.ListenPacket("udp", "127.0.0.1:0")
	require.NoError(t, err)
	port := conn.LocalAddr().(*net.UDPAddr).Port
	require.NoError(t, conn.Close())
	link := filepath.Join(dir, "cable")
	return map[string][2]string{
		"a serial line":     {"pty:" + link, "serial:" + link},
		"a network session": {"network-listen:" + strconv.Itoa(port), "network:127.0.0.1:" + strconv.Itoa(port)},
	}
}

// standInAt starts a stand-in at a port.
func standInAt(t *testing.T, dir, port string, args ...string) (stop func() string) {
	t.Helper()
	args = append([]string{"standin", filepath.Join(dir, "organ.yaml"), "--relay", filepath.Join(dir, "relay.yaml"), "--in", port, "--out", port}, args...)
	program, stdout, stderr := startOn(t, filepath.Join(dir, "cable"), args...)
	t.Cleanup(func() { _ = program.Process.Kill() }) // of a test that ends early
	says(t, stdout, "standing in")
	return func() string {
		_ = program.Process.Signal(os.Interrupt)
		_ = program.Wait()
		return stdout.String() + stderr.String()
	}
}

const everyKey = `draw flute-8
draw principal-4
wait 50ms
for key in C2..C7
  press manual $key
  expect note-on 2 * 64 within 2s
  expect note-on 3 * 64 within 2s
  release manual $key
  expect note-on 2 * 0 within 2s
  expect note-on 3 * 0 within 2s
end
expect nothing for 50ms
`

// Two programs, over what there is to reach each other by.
func TestAScriptIsDoneAtAStandIn(t *testing.T) {
	dir := practice(t)
	script := filepath.Join(dir, "keys.bench")
	require.NoError(t, os.WriteFile(script, []byte(everyKey), 0o600))
	for name, ports := range transports(t, dir) {
		t.Run(name, func(t *testing.T) {
			stop := standInAt(t, dir, ports[0], "--bounce", "2ms")
			kept := filepath.Join(t.TempDir(), "kept.txt")
			var stdout, stderr strings.Builder
			t.Setenv("XDG_CACHE_HOME", t.TempDir())
			exit := run([]string{"bench", script, "--on", filepath.Join(dir, "organ.yaml"), "--in", ports[1], "--out", ports[1], "--transcript", kept}, strings.NewReader(""), &stdout, &stderr)
			var answer, junit strings.Builder
			asked := filepath.Join(dir, "asked.bench")
			require.NoError(t, os.WriteFile(asked, []byte("ask \"does it speak?\"\nask \"and now?\"\nexpect nothing for 10ms\n"), 0o600))
			args := []string{"bench", asked, "--in", ports[1], "--out", ports[1], "--format"}
			require.Equal(t, exitBad, run(append(args, "json"), strings.NewReader("it ciphers\ny\n"), &answer, &stderr), stderr.String())
			requireValid(t, "bench", answer.String())
			require.Contains(t, answer.String(), `"passed":2,"failed":1,"notRun":0,`)
			require.Equal(t, exitBad, run(append(args, "junit"), strings.NewReader(""), &junit, &stderr))
			require.Contains(t, junit.String(), `tests="3" failures="2" errors="0" skipped="0"`)
			said := stop()
			require.Equal(t, exitGood, exit, "%s%s%s", stdout.String(), stderr.String(), said)
			require.Contains(t, stdout.String(), "245 passed, 0 failed, 0 not run")
			messages, _, err := loadMIDI(&stderr, kept)
			require.NoError(t, err)
			require.Len(t, messages, 2+2*61+4, "what was sent can be played again, the release with it")
		})
	}
}

// steadily runs the test of a whole relay until no program was late in it, which is told
// and is not what is tested here: what is named in time is tested in virtual time.
func steadily(t *testing.T, args func() []string) (exit int, stdout, stderr string) {
	t.Helper()
	for range 5 {
		var out, log strings.Builder
		exit = run(args(), strings.NewReader(""), &out, &log)
		if strings.Contains(out.String(), `"unsteady":0,`) {
			return exit, out.String(), log.String()
		}
		stdout, stderr = out.String(), log.String()
	}
	require.Contains(t, stdout, `"unsteady":`, stderr)
	t.Skip("five times a program was late: this machine is too busy to try a relay in its own time")
	return exit, stdout, stderr
}

// What is wrong with the wiring is written down as it was found, and what is
// right as it should be.
func TestAWholeRelayIsWrittenAsItWasFound(t *testing.T) {
	dir := practice(t)
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	ports := transports(t, dir)["a serial line"]
	for _, x := range []struct {
		mistake string
		exit    int
		answer  string
		row     string
		day     string // in the record of the day
	}{
		{"", exitGood, `"verdict":"equal"`, "X1,1..73,valve,flute,1..73,", `"good":true,`},
		{"pins-swapped:X1.13,X1.14", exitBad, `{"class":"pins-swapped","where":"X1.13..14 exchanged","pins":["X1.13","X1.14"],"wiring":true,"part":1}`, "X1,1..12 14..13 15..73,valve,flute,1..73,", `"failures":[{"what":"pins-swapped: X1.13..14 exchanged","board":"X1","pins":["X1.13","X1.14"],"legs":["X1.13 `},
	} {
		args := []string{"--bounce", "2ms"}
		if x.mistake != "" {
			args = append(args, "--fault", x.mistake)
		}
		stop := standInAt(t, dir, ports[0], args...)
		var found, day string
		exit, stdout, stderr := steadily(t, func() []string {
			found, day = filepath.Join(t.TempDir(), "wired.csv"), filepath.Join(t.TempDir(), "day.jsonl")
			return []string{"bench", "--whole", filepath.Join(dir, "organ.yaml"), "--relay", filepath.Join(dir, "relay.yaml"), "--in", ports[1], "--out", ports[1],
				"--settle", "50ms", "--yes", "--format", "json", "--as-found", found, "--to", day}
		})
		stop()
		require.Equal(t, x.exit, exit, "%s%s", stdout, stderr)
		requireValid(t, "whole", stdout)
		require.Contains(t, stdout, x.answer)
		require.Contains(t, stderr, " chords, where one key at a time would take ")
		require.Contains(t, string(read(found)), x.row)
		require.Contains(t, string(read(day)), x.day)
	}
}

// What is measured depends on the machine; that the test ends, and says what its
// schema says, does not.
func TestTheTimesOfAStandInAreMeasured(t *testing.T) {
	dir := practice(t)
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	ports := transports(t, dir)["a serial line"]
	stop := standInAt(t, dir, ports[0])
	defer stop()
	var stdout, stderr strings.Builder
	exit := run([]string{"bench", "--time", filepath.Join(dir, "organ.yaml"), "--in", ports[1], "--out", ports[1], "--for", "1s", "--trips", "5", "--yes", "--format", "json"}, strings.NewReader(""), &stdout, &stderr)
	require.Contains(t, []int{exitGood, exitBad}, exit, stderr.String())
	requireValid(t, "times", stdout.String())
	require.NotContains(t, stdout.String(), `"verdict":"not-run"`)
	require.Contains(t, stdout.String(), `{"name":"round trip","sent":10,"asked":10,`)
	require.Contains(t, stdout.String(), `"stuck":[]`)
}

// The far end is pulled out in the middle, sends what is no message, or floods:
// the test fails and says why, once; what was on is released, and the transcript
// goes on to the end.
func TestATestWhoseCableFails(t *testing.T) {
	dir := practice(t)
	organ, script := filepath.Join(dir, "organ.yaml"), filepath.Join(dir, "long.bench")
	require.NoError(t, os.WriteFile(script, []byte("press manual C4\n"+strings.Repeat("expect nothing for 1s\n", 5)), 0o600))
	tests := map[string][]string{
		"script": {"bench", script, "--on", organ},
		"whole":  {"bench", "--whole", organ, "--relay", filepath.Join(dir, "relay.yaml"), "--yes"},
		"time":   {"bench", "--time", organ, "--for", "1h", "--trips", "1000", "--yes"},
	}
	const garbage, flooded = "what came is no message: no-status 3C", "it is flooded: note-on 2 0/C-1 64 came 1000 times within a second"
	for name, x := range map[string]struct{ come, why string }{
		"pulled out": {"", "the port went away"},
		"garbage":    {"\xf6\x3c", garbage},                              // after a message that has no data
		"a flood":    {strings.Repeat("\x91\x00\x40", 100_000), flooded}, // however slow this machine is
	} {
		for test, args := range tests {
			t.Run(test+" "+name, func(t *testing.T) {
				link, kept := filepath.Join(t.TempDir(), "cable"), filepath.Join(t.TempDir(), "kept.txt")
				far := plug(t, link)
				heard := midiio.Listen(far, midiio.NewClock())
				program, stdout, stderr := startOn(t, link, append(args, "--in", "serial:"+link, "--out", "serial:"+link, "--transcript", kept)...)
				var sent midiio.Keys
				var all []string
				hears := func() bool {
					for _, m := range heard.Take().Messages {
						sent.Hear(m.Message)
						all = append(all, m.Message.String())
					}
					return sent.Any()
				}
				key := func(m string) bool { return strings.HasPrefix(m, "note-on 1 ") }
				require.Eventually(t, func() bool { return hears() && slices.ContainsFunc(all, key) }, 20*time.Second, time.Millisecond, "nothing is pressed")
				if x.come == "" {
					require.NoError(t, heard.Close())
				} else {
					go func() { _, _ = far.Write([]byte(x.come)) }() // until nobody reads any more
				}
				requireExit(t, exitBad, program.Wait())
				require.Equal(t, 1, strings.Count(stdout.String(), x.why), "%s%s", stdout, stderr)
				require.Contains(t, string(read(kept)), all[len(all)-1])
				if test == "script" {
					require.Contains(t, string(read(kept)), "long.bench:6:1 ")
				}
				if x.come == "" {
					require.Contains(t, stderr.String(), "notes may be left sounding")
					return
				}
				require.Eventually(t, func() bool { return !hears() }, 20*time.Second, time.Millisecond, "it is not left silent")
				require.NoError(t, heard.Close())
			})
		}
	}
}

// A stand-in that answers late, and one that is unplugged and plugged in again.
func TestAStandInThatIsLateOrAway(t *testing.T) {
	dir := practice(t)
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	ports := transports(t, dir)["a serial line"]
	script := filepath.Join(dir, "late.bench")
	require.NoError(t, os.WriteFile(script, []byte("draw flute-8\npress manual C4\nwait 2s\nexpect flute:25 on within 20ms\n"), 0o600))
	stop := standInAt(t, dir, ports[0], "--late", "300ms")
	var stdout, stderr strings.Builder
	require.Equal(t, exitBad, run([]string{"bench", script, "--on", filepath.Join(dir, "organ.yaml"), "--in", ports[1], "--out", ports[1]}, strings.NewReader(""), &stdout, &stderr))
	require.Contains(t, stdout.String(), "failed: expect flute:25 on within 20ms: it came late, after ", stderr.String())
	stop()

	link := filepath.Join(t.TempDir(), "cable")
	far := plug(t, link)
	heard := midiio.Listen(far, midiio.NewClock())
	stop = standInAt(t, dir, "serial:"+link, "--stuck", "manual:C4")
	open := func() bool {
		return slices.ContainsFunc(heard.Take().Messages, func(m midiio.Timed) bool { return m.Message.String() == "note-on 2 24/C1 64" })
	}
	_, err := far.Write([]byte{0x9F, 0, 127}) // a stop
	require.NoError(t, err)
	require.Eventually(t, open, 20*time.Second, time.Millisecond, "it does not open")
	require.NoError(t, heard.Close())
	heard = midiio.Listen(plug(t, link), midiio.NewClock())
	require.Eventually(t, open, 20*time.Second, time.Millisecond, "it is not said again")
	require.Contains(t, stop(), "the port is back")
	require.NoError(t, heard.Close())
}

// Ctrl-C: what was on is released, what is left is not run.
func TestAScriptThatIsInterrupted(t *testing.T) {
	dir := practice(t)
	script := filepath.Join(dir, "long.bench")
	require.NoError(t, os.WriteFile(script, []byte("press manual C4\nexpect nothing for 1h\n"), 0o600))
	link := filepath.Join(dir, "cable")
	heard := midiio.Listen(plug(t, link), midiio.NewClock())
	kept := filepath.Join(dir, "kept.txt")
	program, _, stderr := startOn(t, link, "bench", script, "--on", filepath.Join(dir, "organ.yaml"), "--in", "serial:"+link, "--out", "serial:"+link, "--transcript", kept)
	hears(t, heard, "note-on 1 60/C4 64")
	require.NoError(t, program.Process.Signal(os.Interrupt))
	requireExit(t, exitInterrupted, program.Wait())
	hears(t, heard, "note-off 1 60/C4 64", "control-change 1 123 0", "control-change 1 120 0")
	require.NoError(t, heard.Close())
	require.Contains(t, stderr.String(), script+": interrupted after 1 of 2 steps; all that was on is released\n")
	text, err := os.ReadFile(kept)
	require.NoError(t, err)
	require.Regexp(t, `(?m)^[0-9.]+ note-off 1 60/C4 64  # .*$`, string(text), "the release stands in the transcript")
}
