package main

import (
	"net"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

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
			require.Len(t, messages, 2+2*61, "what was sent can be played again")
		})
	}
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
	}{
		{"", exitGood, `"verdict":"equal"`, "X1,1..73,valve,flute,1..73,"},
		{"pins-swapped:X1.13,X1.14", exitBad, `{"class":"pins-swapped","where":"X1.13..14 exchanged","pins":["X1.13","X1.14"],"wiring":true}`, "X1,1..12 14..13 15..73,valve,flute,1..73,"},
	} {
		args := []string{"--bounce", "2ms"}
		if x.mistake != "" {
			args = append(args, "--fault", x.mistake)
		}
		stop := standInAt(t, dir, ports[0], args...)
		found := filepath.Join(t.TempDir(), "wired.csv")
		var stdout, stderr strings.Builder
		args = []string{"bench", "--whole", filepath.Join(dir, "organ.yaml"), "--relay", filepath.Join(dir, "relay.yaml"), "--in", ports[1], "--out", ports[1],
			"--settle", "50ms", "--yes", "--format", "json", "--as-found", found}
		require.Equal(t, x.exit, run(args, strings.NewReader(""), &stdout, &stderr), "%s%s", stdout.String(), stderr.String())
		stop()
		requireValid(t, "whole", stdout.String())
		require.Contains(t, stdout.String(), x.answer)
		require.Contains(t, stderr.String(), "48 chords, where one key at a time would take 244 presses\n")
		require.Contains(t, string(read(found)), x.row)
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

// The far end is pulled out in the middle, floods, or sends what is no message:
// the script fails and says why, and the transcript goes on to the end.
func TestAScriptWhoseCableFails(t *testing.T) {
	dir := practice(t)
	script := filepath.Join(dir, "long.bench")
	require.NoError(t, os.WriteFile(script, []byte("press manual C4\nexpect nothing for 10s\nexpect flute:1 on within 1s\n"), 0o600))
	for name, x := range map[string]struct {
		come  string // "" to be pulled out
		times int
		want  string
	}{
		"pulled out": {"", 1, "2:1: failed: expect nothing for 10s: the port went away\n"},
		"garbage":    {"\x3c\xf4\x80", 1, "times what came is no message: no-status 3C, "},
		"a flood":    {"\x91\x00\x40", 1000, "2:1: failed: expect nothing for 10s: flute:1 on"},
	} {
		t.Run(name, func(t *testing.T) {
			link := filepath.Join(t.TempDir(), "cable")
			far := plug(t, link)
			kept := filepath.Join(t.TempDir(), "kept.txt")
			program, stdout, stderr := startOn(t, link, "bench", script, "--on", filepath.Join(dir, "organ.yaml"), "--in", "serial:"+link, "--out", "serial:"+link, "--transcript", kept)
			b := make([]byte, 1)
			_, err := far.Read(b) // the key
			require.NoError(t, err)
			if x.come == "" {
				require.NoError(t, far.Close())
			} else {
				for range x.times {
					_, err := far.Write([]byte(x.come))
					require.NoError(t, err)
				}
			}
			requireExit(t, exitBad, program.Wait())
			require.Contains(t, stdout.String(), x.want, stderr.String())
			require.Contains(t, string(read(kept)), "long.bench:3:1")
			if x.come == "" {
				require.Contains(t, stderr.String(), "notes may be left sounding")
				return
			}
			var sent midiio.Keys
			var split midiio.Tokenizer
			buffer := make([]byte, 256)
			for done := false; !done; {
				n, err := far.Read(buffer)
				require.NoError(t, err)
				split.Feed(buffer[:n], func(m midiio.Message) {
					sent.Hear(m)
					done = done || m.String() == "control-change 1 120 0"
				})
			}
			require.False(t, sent.Any())
			require.NoError(t, far.Close())
		})
	}
}

// Ctrl-C: what was on is released, what is left is not run.
func TestAScriptThatIsInterrupted(t *testing.T) {
	dir := practice(t)
	script := filepath.Join(dir, "long.bench")
	require.NoError(t, os.WriteFile(script, []byte("press manual C4\nexpect nothing for 1h\n"), 0o600))
	link := filepath.Join(dir, "cable")
	heard := midiio.Listen(plug(t, link), midiio.NewClock())
	program, _, _ := startOn(t, link, "bench", script, "--on", filepath.Join(dir, "organ.yaml"), "--in", "serial:"+link, "--out", "serial:"+link)
	hears(t, heard, "note-on 1 60/C4 64")
	require.NoError(t, program.Process.Signal(os.Interrupt))
	requireExit(t, exitInterrupted, program.Wait())
	hears(t, heard, "note-off 1 60/C4 64", "control-change 1 123 0", "control-change 1 120 0")
	require.NoError(t, heard.Close())
}
