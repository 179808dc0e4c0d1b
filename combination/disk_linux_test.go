package combination_test

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"trundle/combination"
	"trundle/console"
)

// mounted is a directory on a small file system of its own. Root ignores mode
// bits, so that a directory only a mount makes read-only is the only one that
// is for everybody.
func mounted(t *testing.T, options string) string {
	t.Helper()
	dir := t.TempDir()
	if err := unix.Mount("none", dir, "tmpfs", 0, options); err != nil {
		t.Skipf("no file system can be mounted here: %v", err)
	}
	t.Cleanup(func() { require.NoError(t, unix.Unmount(dir, 0)) })
	return dir
}

func TestAFullDiskLosesNothing(t *testing.T) {
	in := parse(t, small)
	dir := mounted(t, "size=64k")
	path := filepath.Join(dir, "memory.yaml")
	file, _ := open(t, path, in)
	defer file.Close()
	require.NoError(t, file.Save(captured(t, in, 0)))
	before := readFile(t, path)

	filler, err := os.Create(filepath.Join(dir, "filler"))
	require.NoError(t, err)
	for err == nil {
		_, err = filler.Write(make([]byte, 4096))
	}
	require.ErrorIs(t, err, unix.ENOSPC)
	require.NoError(t, filler.Close())

	require.EqualError(t, file.Save(captured(t, in, 1)), path+": cannot be saved: no space left on device; nothing lost, it is as it was")
	require.Equal(t, before, readFile(t, path))
	require.NoError(t, os.Remove(filler.Name()))
	require.NoError(t, file.Save(captured(t, in, 1)), "and it goes on when there is room again")
	require.Equal(t, string(captured(t, in, 1).Text()), readFile(t, path))
}

func TestAReadOnlyDirectoryLosesNothing(t *testing.T) {
	in := parse(t, small)
	dir := mounted(t, "size=64k")
	path := filepath.Join(dir, "memory.yaml")
	file, _ := open(t, path, in)
	require.NoError(t, file.Save(captured(t, in, 0)))
	before := readFile(t, path)
	require.NoError(t, file.Close())
	require.NoError(t, unix.Mount("none", dir, "tmpfs", unix.MS_REMOUNT|unix.MS_RDONLY, ""))

	_, _, _, err := combination.Open(path, in)
	require.EqualError(t, err, path+": nothing can be saved in its folder: read-only file system; take a file in another folder, or a copy of this one there")
	memories, _, err := combination.ReadFile(path, in)
	require.NoError(t, err, "it can be read all the same")
	require.NotNil(t, memories.Combination(console.Slot{Memory: 1, Button: 3}))
	require.Equal(t, before, readFile(t, path))
}

// A directory that is none, for a machine on which nothing can be mounted.
func TestAPathThatCannotBeWrittenIsAnError(t *testing.T) {
	in := parse(t, small)
	blocked := filepath.Join(t.TempDir(), "file")
	writeFile(t, blocked, "")
	_, _, _, err := combination.Open(filepath.Join(blocked, "memory.yaml"), in)
	require.EqualError(t, err, filepath.Join(blocked, "memory.yaml")+": nothing can be saved in its folder: not a directory; take a file in another folder, or a copy of this one there")
	missing := filepath.Join(t.TempDir(), "missing")
	_, _, _, err = combination.Open(filepath.Join(missing, "memory.yaml"), in)
	require.EqualError(t, err, filepath.Join(missing, "memory.yaml")+": there is no folder "+missing+"; make it first")
}

// The order in which a capture reaches the disk, as the kernel saw it: written,
// synced, renamed, the directory synced, and only then acknowledged.
func TestTheOrderOfSystemCallsOfASave(t *testing.T) {
	strace, err := exec.LookPath("strace")
	if err != nil {
		if os.Getenv("TRUNDLE_PEERS") == "1" {
			t.Fatal("strace is required with TRUNDLE_PEERS=1")
		}
		t.Skip("no strace here; with TRUNDLE_PEERS=1 it is required")
	}
	dir := t.TempDir()
	path, trace := filepath.Join(dir, "memory.yaml"), filepath.Join(dir, "trace")
	const times = 2
	cmd := child(context.Background(), path, times)
	traced := exec.Command(strace, append([]string{"-f", "-y", "-o", trace, "-e", "trace=write,pwrite64,fsync,fdatasync,rename,renameat,renameat2"}, cmd.Args...)...)
	traced.Env = cmd.Env
	out, err := traced.CombinedOutput()
	require.NoError(t, err, string(out))

	temporary := `[^"<>]*/\.memory\.yaml[0-9]+`
	calls := []struct {
		name string
		is   *regexp.Regexp
	}{
		{"write", regexp.MustCompile(`\bp?write(64)?\(\d+<` + temporary + `>.* = \d+`)},
		{"fsync", regexp.MustCompile(`\bfsync\(\d+<` + temporary + `>\) += 0`)},
		{"rename", regexp.MustCompile(`\brename(at2?)?\(.*"` + temporary + `".*"` + regexp.QuoteMeta(path) + `".* = 0`)},
		{"fsync of the directory", regexp.MustCompile(`\bfsync\(\d+<` + regexp.QuoteMeta(dir) + `>\) += 0`)},
		{"acknowledged", regexp.MustCompile(`\bwrite\(1<.*"\d\\n"`)},
	}
	var order []string
	for _, line := range wholeCalls(readFile(t, trace)) {
		for _, call := range calls {
			if call.is.MatchString(line) {
				order = append(order, call.name)
			}
		}
	}
	once := []string{"write", "fsync", "rename", "fsync of the directory", "acknowledged"}
	require.Equal(t, append(once, once...), order, readFile(t, trace))
}

// wholeCalls are the lines of a trace, each call where it ended: strace parts
// one from its end when another thread does something meanwhile.
func wholeCalls(trace string) []string {
	var calls []string
	begun := map[string]string{} // by thread
	for line := range strings.Lines(trace) {
		thread, _, _ := strings.Cut(line, " ")
		if call, parted := strings.CutSuffix(strings.TrimSpace(line), "<unfinished ...>"); parted {
			begun[thread] = strings.TrimSpace(call)
			continue
		}
		if _, end, resumed := strings.Cut(line, " resumed>"); resumed {
			line = begun[thread] + end
		}
		calls = append(calls, line)
	}
	return calls
}
