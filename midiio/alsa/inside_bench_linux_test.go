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

// offOrgan is one with two divisions, for mistakes in what leads to them.
const offOrgan = `format: 1
keyboards: {upper: {kind: manual, keys: C4..C4}, lower: {kind: pedal, keys: C4..C4}}
divisions: {upper: {keyboard: upper, notes: C4..C4, chest: unit}, lower: {keyboard: lower, notes: C4..C4, chest: unit}}
ranks:
  flute: {division: upper, family: flute, feet: 8, from: C4, pipes: 1}
  bass: {division: lower, family: flute, feet: 8, from: C4, pipes: 1}
stops:
  flute-8: {division: upper, feet: 8, rank: flute}
  bass-8: {division: lower, feet: 8, rank: bass}
couplers: {upper-off: {silences: upper}}
midi:
  keys: {upper: channel 1, lower: channel 2}
  controls: {all: notes from 0 on channel 16}
  valves: {flute: {channel: 3, way: to-console}, bass: {channel: 4, way: to-console}}
`

// carriesOrgan is one with a coupler that another carries further.
const carriesOrgan = `format: 1
keyboards: {upper: {kind: manual, keys: C4..C#4}, lower: {kind: manual, keys: C4..C#4}}
divisions: {upper: {keyboard: upper, notes: C4..D4, chest: unit}}
ranks: {flute: {division: upper, family: flute, feet: 8, from: C4, pipes: 3}}
stops: {flute-8: {division: upper, feet: 8, rank: flute}}
couplers: {upper-to-lower: {division: upper, keyboard: lower, carries: own}, upper-second: {division: upper, shift: 1}}
midi:
  keys: {upper: channel 1, lower: channel 2}
  controls: {all: notes from 0 on channel 16}
  valves: {flute: {channel: 3, way: to-console}}
`

// picksOrgan is one with a coupler that picks a key.
const picksOrgan = `format: 1
keyboards: {upper: {kind: manual, keys: C4..C#4}, lower: {kind: pedal, keys: C4..C#4}}
divisions: {lower: {keyboard: lower, notes: C4..C#4, chest: unit}}
ranks: {flute: {division: lower, family: flute, feet: 8, from: C4, pipes: 2}}
stops: {flute-8: {division: lower, feet: 8, rank: flute}}
couplers: {bass: {division: lower, keyboard: upper, picks: lowest}}
midi:
  keys: {upper: channel 1, lower: channel 2}
  controls: {all: notes from 0 on channel 16}
  valves: {flute: {channel: 3, way: to-console}}
`

// listedFault is a line of the list of mistakes that a stand-in can make: the class,
// and where.
var listedFault = regexp.MustCompile(`(?m)^[a-z-]+ +\d+ +--fault '([a-z-]+):(.*)'$`)

// tried is a relay that a bench tries: one without a mistake when it has no class.
type tried struct{ organ, relay, class, where string }

// relays are one without a mistake, and one of every class, made where the list of
// an instrument has an example of it first. Where the first has its only line of keys
// lead the other way nothing answers at all, and so it is made in another.
func relays(t *testing.T) (list []tried) {
	made := map[string]bool{}
	for i, text := range []string{benchOrgan, offOrgan, carriesOrgan, picksOrgan} {
		dir := t.TempDir()
		r := tried{organ: filepath.Join(dir, "organ.yaml"), relay: filepath.Join(dir, "relay", "relay.yaml")}
		require.NoError(t, os.WriteFile(r.organ, []byte(text), 0o600))
		run(t, "trundle", "new", r.organ, "--relay", filepath.Dir(r.relay))
		if i == 0 {
			list = append(list, r)
		}
		for _, m := range listedFault.FindAllStringSubmatch(run(t, "trundle", "standin", r.organ, "--relay", r.relay, "--fault", "list"), -1) {
			if made[m[1]] || i == 0 && m[1] == "wrong-direction" {
				continue
			}
			made[m[1]] = true
			r.class, r.where = m[1], m[2]
			list = append(list, r)
		}
	}
	return list
}

// together is how many relays are tried at the same time: they mostly wait.
const together = 7

// benched has a bench try relays in simulation over the sequencer: one without a
// mistake, and one of each of the 27 classes.
func benched(t *testing.T) {
	list := relays(t)
	require.Len(t, list, 1+27)
	began := time.Now()
	for some := range slices.Chunk(list, together) {
		var standins, benches []*program
		for i, r := range some {
			args := []string{"standin", r.organ, "--relay", r.relay, "--in", fmt.Sprint("own:Keys", i), "--out", fmt.Sprint("own:Valves", i)}
			if r.class != "" {
				args = append(args, "--fault", r.class+":"+r.where)
			}
			standins = append(standins, start(t, "trundle", args...))
		}
		for i, standin := range standins {
			standin.says(t, "standing in")
			benches = append(benches, start(t, "trundle", "bench", "--whole", some[i].organ, "--relay", some[i].relay, "--settle", "200ms", "--yes",
				"--out", fmt.Sprint("midi:Keys", i), "--in", fmt.Sprint("midi:Valves", i)))
		}
		for i, bench := range benches {
			_ = bench.cmd.Wait() // its exit code is looked at below
			standins[i].interrupt(t)
			code := bench.cmd.ProcessState.ExitCode()
			if some[i].class == "" {
				require.Equal(t, 0, code, "%v", bench)
				continue
			}
			require.Equal(t, 1, code, "%v", bench)
			named := regexp.MustCompile("(?m)^  " + some[i].class + ": (.*/)?" + regexp.QuoteMeta(some[i].where) + "$")
			require.Regexp(t, named, bench.output(), "%v", standins[i])
		}
	}
	t.Logf("figure: %d relays tried by the bench in %.0f s, %d at a time", len(list), time.Since(began).Seconds(), together)
}
