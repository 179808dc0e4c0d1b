package main

import (
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What README.md shows must be what the program says. A line of three dots
// stands for any lines.
func TestTheReadmeShowsWhatTheProgramSays(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	inCheckout(t)
	ran := 0
	for _, block := range regexp.MustCompile("(?s)```(console|diff)\n(.*?)```").FindAllStringSubmatch(string(text), -1) {
		if block[1] == "diff" {
			changeLine(t, block[2])
			continue
		}
		for _, each := range regexp.MustCompile(`(?m)^\$ `).Split(block[2], -1)[1:] {
			command, shown, _ := strings.Cut(each, "\n")
			args, ours := strings.CutPrefix(strings.TrimPrefix(command, "go run ./cmd/"), "trundle ")
			if !ours {
				require.Equal(t, "go test ./...", command, "a command that this test does not know")
				continue
			}
			ran++
			requireShows(t, args, shown)
		}
	}
	require.Equal(t, 14, ran, "commands of ours in README.md")
}

// changeLine makes a change of one line to a file.
func changeLine(t *testing.T, diff string) {
	t.Helper()
	part := regexp.MustCompile(`^--- (.+)\n\+\+\+ (.+)\n-(.+)\n\+(.+)\n$`).FindStringSubmatch(diff)
	require.NotNil(t, part, "a change of another form: %s", diff)
	require.Equal(t, part[1], part[2])
	data, err := os.ReadFile(part[1])
	require.NoError(t, err)
	require.Equal(t, 1, strings.Count("\n"+string(data), "\n"+part[3]+"\n"), "%s has no line %s", part[1], part[3])
	data = []byte(strings.Replace(string(data), part[3]+"\n", part[4]+"\n", 1))
	require.NoError(t, os.WriteFile(part[1], data, 0o644))
}

// inCheckout goes to a folder in which the examples are where README.md has
// them, and nothing else is, so that commands may write there.
func inCheckout(t *testing.T) {
	examples, err := filepath.Abs("examples")
	require.NoError(t, err)
	dir := t.TempDir()
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "cmd", "trundle"), 0o755))
	require.NoError(t, os.Symlink(examples, filepath.Join(dir, "cmd", "trundle", "examples")))
	t.Chdir(dir)
}

// The commands that the demo offers must work when they are pasted.
func TestTheDemoOffersCommandsThatWork(t *testing.T) {
	t.Chdir("../..")
	var stdout, stderr strings.Builder
	require.Equal(t, exitGood, run([]string{"demo"}, strings.NewReader(""), &stdout, &stderr), stderr.String())
	_, after, found := strings.Cut(stdout.String(), "Try next")
	require.True(t, found)
	offered := regexp.MustCompile(`(?m)^ *go run ./cmd/trundle (.*)$`).FindAllStringSubmatch(after, -1)
	require.Len(t, offered, 5)
	for _, command := range offered {
		var stdout, stderr strings.Builder
		require.Equal(t, exitGood, run(words(command[1]), strings.NewReader(""), &stdout, &stderr), stderr.String())
		require.NotEmpty(t, stdout.String())
	}
	replay := regexp.MustCompile(`see it: go run ./cmd/trundle (.*)`).FindStringSubmatch(stdout.String())
	require.NotNil(t, replay)
	require.Equal(t, exitBad, run(words(replay[1]), strings.NewReader(""), &strings.Builder{}, &stderr), stderr.String())
}

func TestTheMapShowsEveryPackage(t *testing.T) {
	text, err := os.ReadFile("../../DEVELOPERS.md")
	require.NoError(t, err)
	for pkg := range ours(t, "Imports") {
		name := pkg
		if layer(pkg) != "cmd" {
			name = path.Base(pkg)
		}
		entry := regexp.MustCompile("(?m)^ *" + strings.TrimPrefix(name, "cmd/trundle/") + "/ ")
		require.True(t, entry.Match(text), "DEVELOPERS.md has no line for %s in its map", pkg)
	}
}

// requireShows runs a command and holds its answer to what is shown of it.
func requireShows(t *testing.T, command, shown string) {
	t.Helper()
	var stdout, stderr strings.Builder
	exit := run(words(command), strings.NewReader(""), &stdout, &stderr)
	require.NotEqual(t, exitFailed, exit, stderr.String())
	if shown == "" {
		return
	}
	pattern := regexp.QuoteMeta(shown)
	pattern = regexp.MustCompile(`(?m)^\\\.\\\.\\\.\n`).ReplaceAllString(pattern, "(?s:.*\n)?")
	pattern = regexp.MustCompile(`\d+\\\.(\d{6}|\d+ m?s\b)`).ReplaceAllStringFunc(pattern, func(time string) string {
		return `[0-9]+\.[0-9]+` + strings.TrimLeft(time, `0123456789\.`) // no run takes the same time
	})
	require.Regexp(t, "^"+pattern+"$", stdout.String(), command)
}

// words splits a command as a shell does; only single quotes are known to it.
func words(command string) []string {
	var list []string
	for _, word := range regexp.MustCompile(`('[^']*'|[^' ])+`).FindAllString(command, -1) {
		list = append(list, strings.ReplaceAll(word, "'", ""))
	}
	return list
}
