package combination_test

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/combination"
	"trundle/console"
)

// captureInTurns takes the file whenever nobody holds it, captures the number
// behind the one in it, prints that when it was acknowledged, and lets go.
func captureInTurns(path, times string) {
	t := failing{}
	in := counter(t)
	most, err := strconv.Atoi(times)
	require.NoError(t, err)
	for done := 0; most == 0 || done < most; {
		file, memories, _, err := combination.Open(path, in)
		if err != nil {
			require.ErrorContains(t, err, "another program has this memory file open")
			continue
		}
		c := combination.New(in, memories)
		c.Do(0, console.Press(0))
		n := numberIn(memories) + 1
		captureNumber(t, file, c, n)
		fmt.Println(n)
		done++
		require.NoError(t, file.Close())
	}
}

// inTurns runs children that take turns, and returns the numbers that were
// acknowledged to each; heard may be nil.
func inTurns(ctx context.Context, t *testing.T, path string, children, times int, heard chan<- struct{}) [][]int {
	outs, complaints := make([]told, children), make([]bytes.Buffer, children)
	var all sync.WaitGroup
	for i := range children {
		cmd := child(ctx, path, times)
		cmd.Env = append(cmd.Env, turnsEnv+"=1")
		outs[i].heard = heard
		cmd.Stdout, cmd.Stderr = &outs[i], &complaints[i]
		all.Go(func() { _ = cmd.Run() }) // its complaints are looked at below
	}
	all.Wait()
	numbers := make([][]int, children)
	for i := range children {
		require.Empty(t, complaints[i].String())
		for line := range strings.FieldsSeq(outs[i].text.String()) {
			n, err := strconv.Atoi(line)
			require.NoError(t, err)
			numbers[i] = append(numbers[i], n)
		}
	}
	return numbers
}

// Two that held the file at once would both capture the same number, or one
// would find the file changed under its hands.
func TestProcessesThatTakeTurnsNeverHoldTheFileAtOnce(t *testing.T) {
	const children, times = 3, 60
	path := filepath.Join(t.TempDir(), "memory.yaml")
	seen := map[int]bool{}
	for _, numbers := range inTurns(t.Context(), t, path, children, times, nil) {
		for _, n := range numbers {
			require.False(t, seen[n], "%d was acknowledged twice", n)
			seen[n] = true
		}
	}
	require.Len(t, seen, children*times)
	file, memories := open(t, path, counter(t))
	require.Equal(t, children*times, numberIn(memories))
	require.NoError(t, file.Close())
	require.Equal(t, []string{"memory.yaml", "memory.yaml.good"}, namesIn(t, filepath.Dir(path)), "no lock stays behind")
}

// Killed while they take turns: the lock of the dead is nobody's, and what was
// acknowledged to either is in the file.
func TestProcessesKilledWhileTheyTakeTurnsLoseNothing(t *testing.T) {
	in := counter(t)
	path := filepath.Join(t.TempDir(), "memory.yaml")
	last, acknowledged := 0, 0
	for run := range 60 {
		ctx, kill := context.WithCancel(t.Context())
		heard := make(chan struct{}, 1)
		go killAfter(ctx, kill, heard, run%4)
		for _, numbers := range inTurns(ctx, t, path, 2, 0, heard) {
			acknowledged += len(numbers)
			for _, n := range numbers {
				last = max(last, n)
			}
		}
		kill()
		memories, _, err := combination.ReadFile(path, in)
		require.NoError(t, err)
		// Each of the two may have been killed with a capture on disk and not told.
		require.Contains(t, []int{last, last + 1, last + 2}, numberIn(memories))
		last = numberIn(memories)
	}
	file, _ := open(t, path, in)
	require.NoError(t, file.Close())
	require.Equal(t, []string{"memory.yaml", "memory.yaml.good"}, namesIn(t, filepath.Dir(path)), "the next one takes the lock away")
	t.Logf("%d captures acknowledged, %d in the file", acknowledged, last)
}

// killAfter kills a moment after so many captures were acknowledged, or after
// the beginning.
func killAfter(ctx context.Context, kill func(), heard <-chan struct{}, captures int) {
	most := 10 * time.Millisecond
	if captures == 0 {
		most = 120 * time.Millisecond // opening the file takes a while
	}
	for range captures {
		select {
		case <-heard:
		case <-ctx.Done():
			return
		}
	}
	time.Sleep(rand.N(most))
	kill()
}

// told is what a child printed, and tells that it did.
type told struct {
	text  bytes.Buffer    // not embedded: os/exec would read into it past Write
	heard chan<- struct{} // may be nil
}

func (w *told) Write(p []byte) (int, error) {
	select {
	case w.heard <- struct{}{}:
	default:
	}
	return w.text.Write(p)
}

// A file that cannot be opened leaves no lock either.
func TestADamagedFileLeavesNoLock(t *testing.T) {
	path := filepath.Join(t.TempDir(), "memory.yaml")
	writeFile(t, path, "format: 1\nmemories: [\n")
	_, _, _, err := combination.Open(path, counter(t))
	require.Error(t, err)
	require.Equal(t, []string{"memory.yaml"}, namesIn(t, filepath.Dir(path)))
}

func namesIn(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}
