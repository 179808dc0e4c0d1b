package alsa_test

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// benchOrgan is an instrument whose relay is tried in few chords.
const benchOrgan = `format: 1
keyboards: {manual: {kind: manual, keys: C4..E4}}
divisions: {manual: {keyboard: manual, notes: C4..E4, chest: unit}}
ranks:
  flute: {division: manual, family: flute, feet: 8, from: C4, pipes: 5}
  oboe: {division: manual, family: reed, feet: 8, from: C4, pipes: 5}
stops:
  flute-8: {division: manual, feet: 8, rank: flute}
  oboe-8: {division: manual, feet: 8, rank: oboe}
midi:
  keys: {manual: channel 1}
  controls: {stops: notes from 0 on channel 16}
  valves:
    flute: {channel: 2, way: to-console}
    oboe: {channel: 3, way: to-console}
`

// listedFault is a line of the list of mistakes that a stand-in can make: the class,
// and where.
var listedFault = regexp.MustCompile(`(?m)^[a-z-]+ +\d+ +--fault '([a-z-]+):(.*)'$`)

// together is how many relays are tried at the same time: they mostly wait.
const together = 6

// benched has a bench try relays in simulation over the sequencer: one without a
// mistake, and one with each that the stand-in's list has for an example but the
// one that leaves it without an answer.
func benched(t *testing.T) {
	dir := t.TempDir()
	organ, relay := filepath.Join(dir, "organ.yaml"), filepath.Join(dir, "relay", "relay.yaml")
	require.NoError(t, os.WriteFile(organ, []byte(benchOrgan), 0o600))
	run(t, "trundle", "new", organ, "--relay", filepath.Dir(relay))
	mistakes := append([][]string{nil}, listedFault.FindAllStringSubmatch(run(t, "trundle", "standin", organ, "--relay", relay, "--fault", "list"), -1)...)
	mistakes = slices.DeleteFunc(mistakes, func(m []string) bool { return m != nil && m[1] == "wrong-direction" })
	require.Len(t, mistakes, 20)
	began := time.Now()
	for some := range slices.Chunk(mistakes, together) {
		var standins, benches []*program
		for i, mistake := range some {
			args := []string{"standin", organ, "--relay", relay, "--in", fmt.Sprint("own:Keys", i), "--out", fmt.Sprint("own:Valves", i)}
			if mistake != nil {
				args = append(args, "--fault", mistake[1]+":"+mistake[2])
			}
			standins = append(standins, start(t, "trundle", args...))
		}
		for i, standin := range standins {
			standin.says(t, "standing in")
			benches = append(benches, start(t, "trundle", "bench", "--whole", organ, "--relay", relay, "--settle", "200ms", "--yes",
				"--out", fmt.Sprint("midi:Keys", i), "--in", fmt.Sprint("midi:Valves", i)))
		}
		for i, bench := range benches {
			_ = bench.cmd.Wait() // its exit code is looked at below
			standins[i].interrupt(t)
			code := bench.cmd.ProcessState.ExitCode()
			if some[i] == nil {
				require.Equal(t, 0, code, "%v", bench)
				continue
			}
			require.Equal(t, 1, code, "%v", bench)
			named := regexp.MustCompile("(?m)^  " + some[i][1] + ": (.*/)?" + regexp.QuoteMeta(some[i][2]) + "$")
			require.Regexp(t, named, bench.output(), "%v", standins[i])
		}
	}
	t.Logf("figure: %d relays tried by the bench in %.0f s, %d at a time", len(mistakes), time.Since(began).Seconds(), together)
}
