package combination_test

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/combination"
	"trundle/console"
)

// childEnv names the memory file into which this test binary, run again as a
// child, captures; timesEnv how often, 0 until it is killed; turnsEnv whether
// it lets go of the file after each.
const (
	childEnv = "TRUNDLE_TEST_CAPTURE_INTO"
	timesEnv = "TRUNDLE_TEST_CAPTURE_TIMES"
	turnsEnv = "TRUNDLE_TEST_CAPTURE_IN_TURNS"
)

func TestMain(m *testing.M) {
	path := os.Getenv(childEnv)
	switch {
	case path == "":
		os.Exit(m.Run())
	case os.Getenv(turnsEnv) != "":
		captureInTurns(path, os.Getenv(timesEnv))
	default:
		captureInto(path, os.Getenv(timesEnv))
	}
}

const counterBits = 16

// counter is an instrument whose one general can hold a number: a stop a bit.
func counter(t require.TestingT) *console.Instrument {
	var text strings.Builder
	text.WriteString("format: 1\nkeyboards: {great: {kind: manual, keys: C2..C7}}\ndivisions: {great: {keyboard: great, chest: unit}}\n" +
		"ranks: {principal: {division: great, family: principal, feet: 8, pipes: 61}}\nstops:\n")
	for bit := range counterBits {
		fmt.Fprintf(&text, "  bit-%d: {division: great, feet: 8, rank: principal}\n", bit)
	}
	text.WriteString("combination: {buttons: {set: {kind: set}, general-1: {kind: general}}}\n")
	return parse(t, text.String())
}

// numberIn is the number that general-1 holds, 0 before it was set.
func numberIn(m *combination.Memories) int {
	n := 0
	if set := m.Combination(console.Slot{Memory: 1, Button: 1}); set != nil {
		for _, bit := range set.On {
			n |= 1 << bit
		}
	}
	return n
}

// captureInto captures one number after the other, and prints each when it was
// acknowledged.
func captureInto(path, times string) {
	t := failing{}
	in := counter(t)
	file, memories, _, err := combination.Open(path, in)
	require.NoError(t, err)
	most, err := strconv.Atoi(times)
	require.NoError(t, err)
	c := combination.New(in, memories)
	c.Do(0, console.Press(0))
	first := numberIn(memories) + 1
	for n := first; most == 0 || n < first+most; n++ {
		captureNumber(t, file, c, n)
		fmt.Println(n)
	}
}

func captureNumber(t require.TestingT, file *combination.File, c *combination.Console, n int) {
	for bit := range counterBits {
		if n>>bit&1 == 1 {
			c.Do(0, console.Draw(bit))
		} else {
			c.Do(0, console.Push(bit))
		}
	}
	effects := c.Do(0, console.Press(1))
	require.NoError(t, file.Save(c.Saving()))
	c.Do(0, console.Event{Kind: console.SavedEvent, Value: effects[0].Value})
}

// failing ends the child at the first failure.
type failing struct{}

func (failing) Errorf(format string, args ...any) { fmt.Fprintf(os.Stderr, format, args...) }
func (failing) FailNow()                          { os.Exit(2) }

func child(ctx context.Context, path string, times int) *exec.Cmd {
	cmd := exec.CommandContext(ctx, os.Args[0])
	cmd.Env = append(os.Environ(), childEnv+"="+path, timesEnv+"="+strconv.Itoa(times))
	return cmd
}

// killed has a child capture without end and kills it: a moment after it began,
// or after it acknowledged so many captures. It returns the number that it
// acknowledged last, 0 for none.
func killed(t *testing.T, path string, after int) (last int) {
	ctx, kill := context.WithCancel(context.Background())
	defer kill()
	cmd := child(ctx, path, 0)
	var errors bytes.Buffer
	cmd.Stderr = &errors
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	lines := bufio.NewScanner(out)
	for n := 0; n < after && lines.Scan(); n++ {
		last, err = strconv.Atoi(lines.Text())
		require.NoError(t, err)
	}
	most := 2 * time.Millisecond
	if after == 0 {
		most = 30 * time.Millisecond // opening the file takes a while
	}
	time.Sleep(rand.N(most))
	kill()
	for lines.Scan() {
		last, err = strconv.Atoi(lines.Text())
		require.NoError(t, err)
	}
	require.Error(t, cmd.Wait(), "it is killed")
	require.Empty(t, errors.String())
	return last
}

// A child captures without end and is killed at a moment it cannot know, 300
// times: the file always loads, holds what was acknowledged last or what was
// being captured, and the lock of the dead is nobody's.
func TestAKilledProcessLosesNothingAcknowledged(t *testing.T) {
	in := counter(t)
	path := filepath.Join(t.TempDir(), "memory.yaml")
	before, acknowledged := 0, 0
	for run := range 300 {
		last := max(before, killed(t, path, run%4))
		acknowledged += last - before
		memories, _, err := combination.ReadFile(path, in)
		require.NoError(t, err)
		now := numberIn(memories)
		require.Contains(t, []int{last, last + 1}, now, "acknowledged, or the one under way")
		before = now
		require.Less(t, now, 1<<counterBits-1000, "the counter has room")
	}

	// What the killed ones left behind is swept away by the next to open it.
	file, _ := open(t, path, in)
	defer file.Close()
	left, err := filepath.Glob(filepath.Join(filepath.Dir(path), ".*"))
	require.NoError(t, err)
	require.Empty(t, left)
	t.Logf("%d captures acknowledged, %d in the file", acknowledged, before)
}
