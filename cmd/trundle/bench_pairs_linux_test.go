package main

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/fault"
	"trundle/sim/gen"
	"trundle/sim/probe"
	"trundle/sim/wiring"
)

// pairOrgan is an instrument whose relay can have mistakes of all classes but
// two, and few chords that find them.
const pairOrgan = `format: 1
keyboards: {upper: {kind: manual, keys: C4..G4}, lower: {kind: manual, keys: C4..G4}}
divisions:
  upper: {keyboard: upper, notes: C4..G5, chest: unit}
  lower: {keyboard: lower, notes: C4..G4, chest: slider}
ranks:
  flute: {division: upper, family: flute, feet: 8, from: C4, pipes: 32}
  oboe: {division: upper, family: reed, feet: 8, from: C4, pipes: 20}
  principal: {division: lower, family: principal, feet: 8, from: C4, pipes: 8}
  octave: {division: lower, family: principal, feet: 4, from: C4, pipes: 8}
stops:
  flute-8: {division: upper, feet: 8, rank: flute}
  flute-4: {division: upper, feet: 4, rank: flute}
  oboe-8: {division: upper, feet: 8, rank: oboe}
  principal-8: {division: lower, feet: 8, rank: principal}
  octave-4: {division: lower, feet: 4, rank: octave}
couplers:
  upper-to-lower: {division: upper, keyboard: lower, carries: own}
  upper-off: {silences: upper}
midi:
  keys: {upper: channel 1, lower: channel 2}
  controls: {all: notes from 0 on channel 16}
  valves:
    flute: {channel: 3, way: to-console}
    oboe: {channel: 4, way: to-console}
    principal: {channel: 5, way: to-console}
    octave: {channel: 6, way: to-console}
`

// carriesOrgan is one for another class: a coupler that is carried further.
const carriesOrgan = `format: 1
keyboards: {upper: {kind: manual, keys: C4..E4}, lower: {kind: manual, keys: C4..E4}}
divisions: {upper: {keyboard: upper, notes: C4..E5, chest: unit}}
ranks: {flute: {division: upper, family: flute, feet: 8, from: C4, pipes: 17}}
stops: {flute-8: {division: upper, feet: 8, rank: flute}}
couplers:
  upper-to-lower: {division: upper, keyboard: lower, carries: own}
  upper-octave: {division: upper, shift: 12}
midi:
  keys: {upper: channel 1, lower: channel 2}
  controls: {all: notes from 0 on channel 16}
  valves: {flute: {channel: 3, way: to-console}}
`

// picksOrgan is one for the class that is left: a coupler that picks a key.
const picksOrgan = `format: 1
keyboards: {upper: {kind: manual, keys: C4..G4}, lower: {kind: pedal, keys: C4..G4}}
divisions: {lower: {keyboard: lower, notes: C4..G4, chest: unit}}
ranks: {flute: {division: lower, family: flute, feet: 8, from: C4, pipes: 8}}
stops: {flute-8: {division: lower, feet: 8, rank: flute}}
couplers: {bass: {division: lower, keyboard: upper, picks: lowest}}
midi:
  keys: {upper: channel 1, lower: channel 2}
  controls: {all: notes from 0 on channel 16}
  valves: {flute: {channel: 3, way: to-console}}
`

// bothFiles are an instrument and the relay that the program makes for it.
type bothFiles struct{ organ, relay string }

func newFiles(t *testing.T, text string) (f bothFiles) {
	t.Helper()
	dir := t.TempDir()
	f = bothFiles{filepath.Join(dir, "organ.yaml"), filepath.Join(dir, "relay", "relay.yaml")}
	require.NoError(t, os.WriteFile(f.organ, []byte(text), 0o600))
	var out strings.Builder
	require.Equal(t, exitGood, run([]string{"new", f.organ, "--relay", filepath.Dir(f.relay)}, nil, &out, &out), out.String())
	return f
}

// audible is of every class that can be made in a relay one mistake that can be
// heard: that changes an answer.
func (f bothFiles) audible(t *testing.T) (list []fault.Fault) {
	t.Helper()
	in, _ := console.Load(f.organ)
	require.NotNil(t, in)
	relay, found := wiring.Load(f.relay, in)
	require.Empty(t, found)
	plan := probe.New(in, relay)
	want := probe.Simulate(plan, relay, in)
	for _, site := range fault.Sites(relay, in) {
		for i := 0; i < site.Count && !slices.ContainsFunc(list, func(f fault.Fault) bool { return f.Class == site.Class }); i++ {
			way := site.Way((site.Count/2 + i) % site.Count)
			if len(probe.Differ(want, probe.Simulate(plan, way.Relay, in))) > 0 {
				list = append(list, way)
			}
		}
	}
	return list
}

// pair is a stand-in with a mistake and a bench that tries it: two programs.
type pair struct {
	bothFiles
	mistake string // CLASS:WHERE, or "" for none
	ports   [2]string
	dir     string // for what they keep
}

// try runs the pair, and again where a program was late for once because the
// machine was busy: that is told, and is not what is tested here.
func (p pair) try() (a wholeAnswer, err error) {
	for range 5 {
		if a, err = p.once(); err != nil || a.Unsteady == 0 && (a.Verdict == "equal" || len(a.Mistakes) > 0) {
			return a, err
		}
	}
	return a, fmt.Errorf("five times unsteady, or without a name: %v", a)
}

func (p pair) once() (a wholeAnswer, err error) {
	path, err := exec.LookPath("trundle")
	if err != nil {
		return a, err
	}
	program := func(port string, args ...string) (*exec.Cmd, *spoken, *spoken) {
		cmd, stdout, stderr := exec.Command(path, append(args, "--relay", p.relay, "--in", port, "--out", port)...), &spoken{}, &spoken{}
		cmd.Env = append(os.Environ(), "XDG_CACHE_HOME="+p.dir)
		cmd.Stdout, cmd.Stderr = stdout, stderr
		return cmd, stdout, stderr
	}
	args := []string{"standin", p.organ, "--debounce", "1ms"}
	if p.mistake != "" {
		args = append(args, "--fault", p.mistake)
	}
	standin, said, complained := program(p.ports[0], args...)
	if err := standin.Start(); err != nil {
		return a, err
	}
	defer func() { _, _ = standin.Process.Signal(os.Interrupt), standin.Wait() }()
	for end := time.Now().Add(20 * time.Second); !strings.Contains(said.String(), "standing in"); time.Sleep(time.Millisecond) {
		if time.Now().After(end) {
			return a, fmt.Errorf("the stand-in does not begin: %s", complained)
		}
	}
	cmd, stdout, stderr := program(p.ports[1], "bench", "--whole", p.organ, "--yes", "--format", "json")
	timer := time.AfterFunc(2*time.Minute, func() { _ = cmd.Process.Kill() })
	defer timer.Stop()
	var exit *exec.ExitError
	if err := cmd.Run(); err != nil && !errors.As(err, &exit) {
		return a, err
	}
	if err := json.Unmarshal([]byte(stdout.String()), &a); err != nil {
		return a, fmt.Errorf("%w: %s%s", err, stdout, stderr)
	}
	if good := cmd.ProcessState.ExitCode() == exitGood; good != (a.Verdict == "equal") {
		return a, fmt.Errorf("exit code %d, and %s", cmd.ProcessState.ExitCode(), stdout)
	}
	return a, nil
}

// sessionPorts are so many free ports for network sessions, which have two each.
func sessionPorts(t *testing.T, n int) (list []int) {
	t.Helper()
	for port := 20000 + os.Getpid()%1000*10; len(list) < n; port += 2 {
		require.Less(t, port, 1<<15, "no free ports")
		if udpFree(port) && udpFree(port+1) {
			list = append(list, port)
		}
	}
	return list
}

func udpFree(port int) bool {
	conn, err := net.ListenPacket("udp", ":"+strconv.Itoa(port))
	return err == nil && conn.Close() == nil
}

// atOnce is how many pairs run at once: they mostly wait for each other.
const atOnce = 16

// A stand-in and a bench as two programs over each transport that this machine
// has anyway: without a mistake the relay passes, and one of every class is
// named, or is among those that give the same answers.
func TestEveryClassOfMistakeIsNamedBetweenTwoPrograms(t *testing.T) {
	var pairs []pair
	made := map[string]bool{}
	for _, text := range []string{pairOrgan, carriesOrgan, picksOrgan} {
		files := newFiles(t, text)
		mistakes := []string{""}
		for _, f := range files.audible(t) {
			if !made[f.Class] {
				made[f.Class] = true
				mistakes = append(mistakes, f.Class+":"+f.Where)
			}
		}
		for _, mistake := range mistakes {
			pairs = append(pairs, pair{bothFiles: files, mistake: mistake}, pair{bothFiles: files, mistake: mistake})
		}
	}
	for _, class := range gen.Classes {
		require.True(t, made[class], class)
	}
	type result struct {
		wholeAnswer
		err error
	}
	results := make([]chan result, len(pairs))
	free := make(chan bool, atOnce)
	ports := sessionPorts(t, len(pairs)/2)
	for i := range pairs {
		p := &pairs[i]
		p.dir = t.TempDir()
		link, port := filepath.Join(p.dir, "cable"), strconv.Itoa(ports[i/2])
		p.ports = [2]string{"pty:" + link, "serial:" + link + "@1000000"}
		if i%2 == 1 {
			p.ports = [2]string{"network-listen:" + port, "network:127.0.0.1:" + port}
		}
		results[i] = make(chan result, 1)
		go func() {
			free <- true
			a, err := p.try()
			<-free
			results[i] <- result{a, err}
		}()
	}
	for i, p := range pairs {
		class, where, _ := strings.Cut(p.mistake, ":")
		transport, _, _ := strings.Cut(p.ports[1], ":")
		t.Run(transport+" "+cmp.Or(class, "clean"), func(t *testing.T) {
			r := <-results[i]
			require.NoError(t, r.err)
			if p.mistake == "" {
				require.Equal(t, "equal", r.Verdict)
				return
			}
			require.Equal(t, "different", r.Verdict, p.mistake)
			require.True(t, slices.ContainsFunc(r.Mistakes, func(m mistakeAnswer) bool { return m.Class == class && m.Where == where }), "%s is not among %v", p.mistake, r.Mistakes)
		})
	}
}
