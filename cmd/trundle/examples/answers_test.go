package examples_test

import (
	"fmt"
	"io/fs"
	"math/rand/v2"
	"path"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/cmd/trundle/examples"
	"trundle/console"
	"trundle/console/plain"
	"trundle/sim/wiring"
)

// answerFile is an answers.yaml: what a check of a relay says.
type answerFile struct {
	Format    int
	Relay     string // relative to the file
	Verdict   string // of the proof
	Outputs   int    // valves compared
	Differing int    // of them those that some mistake makes wrong
	Mistakes  []mistake
	Notes     []note
}

// mistake is one planted mistake: what check says of it and where, and what
// it makes wrong.
type mistake struct {
	Rule, Severity, File string
	Line                 int
	Also                 []string // rules that speak of the same row besides
	What                 string

	Outputs        []string // valves that it makes wrong, rank:number or rank:from..to; none when it is on paper only
	Play, Draw     []string // the fewest keys and controls that show it
	Missing, Extra []string // valves in that state
}

// note is a finding that is meant so.
type note struct {
	Rule, File string
	Line       int
	What       string
}

// readAnswers reads an answers.yaml and loads the relay it speaks of.
func readAnswers(t *testing.T, file string) (answerFile, *console.Instrument, *wiring.Relay) {
	var answers answerFile
	readExample(t, file, &answers)
	organ := path.Join(path.Dir(file), "organ.yaml")
	if _, err := fs.Stat(examples.FS, organ); err != nil {
		organ = "saltmarsh/organ.yaml"
	}
	in := loadOrgan(t, organ)
	relay, _ := loadRelay(t, path.Join(path.Dir(file), answers.Relay), in)
	require.Equal(t, answers.Outputs, in.Valves)
	return answers, in, relay
}

const badRelay = "saltmarsh-bad/answers.yaml"

func TestEveryPlantedMistakeShowsInItsSmallestState(t *testing.T) {
	answers, in, relay := readAnswers(t, badRelay)
	rules, shown := map[string]bool{}, 0
	for _, m := range answers.Mistakes {
		rules[m.Rule] = true
		if len(m.Outputs) == 0 {
			continue
		}
		shown++
		t.Run(fmt.Sprintf("%s:%d", m.File, m.Line), func(t *testing.T) {
			missing, extra := differences(in, relay, stateOf(t, in, m.Play, m.Draw))
			require.ElementsMatch(t, m.Missing, missing)
			require.ElementsMatch(t, m.Extra, extra)
			for i := range m.Play {
				requireSame(t, in, relay, slices.Delete(slices.Clone(m.Play), i, i+1), m.Draw)
			}
			for i := range m.Draw {
				requireSame(t, in, relay, m.Play, slices.Delete(slices.Clone(m.Draw), i, i+1))
			}
		})
	}
	require.Len(t, answers.Mistakes, 16)
	require.Len(t, rules, 16)
	require.Equal(t, 10, shown)
}

// differences are the valves that the relay does not open in a state and
// should, and those that it opens and should not.
func differences(in *console.Instrument, relay *wiring.Relay, s console.State) (missing, extra []string) {
	want, got := plain.Open(in, s), wiring.Run(relay, in, s).Open
	return valveNames(in, without(want, got)), valveNames(in, without(got, want))
}

func requireSame(t *testing.T, in *console.Instrument, relay *wiring.Relay, play, draw []string) {
	missing, extra := differences(in, relay, stateOf(t, in, play, draw))
	require.Empty(t, missing, "%v %v", play, draw)
	require.Empty(t, extra, "%v %v", play, draw)
}

func TestTheAnswersNameEveryValveThatIsEverWrong(t *testing.T) {
	answers, in, relay := readAnswers(t, badRelay)
	claimed := map[string]bool{}
	for _, m := range answers.Mistakes {
		for _, output := range m.Outputs {
			for _, valve := range expand(t, output) {
				claimed[valve] = true
			}
		}
	}
	require.Len(t, claimed, answers.Differing)

	random := rand.New(rand.NewPCG(7, 61))
	for range 2000 {
		missing, extra := differences(in, relay, randomState(random, in))
		for _, valve := range slices.Concat(missing, extra) {
			require.True(t, claimed[valve], "%s is wrong, and no answer names it", valve)
		}
	}
}

// expand lists the valves of viola:1..32.
func expand(t *testing.T, output string) []string {
	rank, numbers, _ := strings.Cut(output, ":")
	from, to, ranged := strings.Cut(numbers, "..")
	if !ranged {
		to = from
	}
	first, err := strconv.Atoi(from)
	require.NoError(t, err)
	last, err := strconv.Atoi(to)
	require.NoError(t, err)
	var valves []string
	for v := first; v <= last; v++ {
		valves = append(valves, fmt.Sprintf("%s:%d", rank, v))
	}
	return valves
}
