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
// acknowledged to each.
func inTurns(ctx context.Context, t *testing.T, path string, children, times int) [][]int {
	outs, complaints := make([]bytes.Buffer, children), make([]bytes.Buffer, children)
	var all sync.WaitGroup
	for i := range children {
		cmd := child(ctx, path, times)
		cmd.Env = append(cmd.Env, turnsEnv+"=1")
		cmd.Stdout, cmd.Stderr = &outs[i], &complaints[i]
		all.Go(func() { _ = cmd.Run() }) // its complaints are looked at below
	}
	all.Wait()
	numbers := make([][]int, children)
	for i := range children {
		require.Empty(t, complaints[i].String())
		for line := range strings.FieldsSeq(outs[i].String()) {
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
	for _, numbers := range inTurns(t.Context(), t, path, children, times) {
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
	for range 60 {
		ctx, cancel := context.WithTimeout(t.Context(), time.Duration(rand.IntN(120_000))*time.Microsecond)
		for _, numbers := range inTurns(ctx, t, path, 2, 0) {
			acknowledged += len(numbers)
			for _, n := range numbers {
				last = max(last, n)
			}
		}
		cancel()
		memories, _, err := combination.ReadFile(path, in)
		require.NoError(t, err)
		// Each of the two may have been killed with a capture on disk and not told.
		require.Contains(t, []int{last, last + 1, last + 2}, numberIn(memories))
		last = numberIn(memories)
	}
	require.Greater(t, acknowledged, 10, "the children did capture, on a busy machine too")
	file, _ := open(t, path, in)
	require.NoError(t, file.Close())
	require.Equal(t, []string{"memory.yaml", "memory.yaml.good"}, namesIn(t, filepath.Dir(path)), "the next one takes the lock away")
	t.Logf("%d captures acknowledged, %d in the file", acknowledged, last)
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
