package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// tabbed is what stands behind the prompt of a shell when the last word of a
// command is typed in part and Tab is pressed.
var tabbed = []struct{ name, typed, stands string }{
	{"a command", "trundle repo", "trundle report"},
	{"a flag", "trundle sound organ.yaml --cres", "trundle sound organ.yaml --crescendo"},
	{"a stop", "trundle sound organ.yaml --draw great-pr", "--draw great-principal-8"},
	{"a coupler", "trundle sound organ.yaml --draw swell-oc", "--draw swell-octave"},
	{"a second one", "trundle sound organ.yaml --draw great-principal-8,swell-v", "--draw great-principal-8,swell-viola-8"},
	{"a keyboard", "trundle sound organ.yaml --play gr", "--play great:"},
	{"a rank", "trundle where relay/relay.yaml bour", "relay.yaml bourdon"},
	{"a board", "trundle check organ.yaml --relay relay/relay.yaml --boards A", "--boards A1"},
	{"a second board", "trundle check organ.yaml --relay relay/relay.yaml --boards X8,A", "--boards X8,A1"},
	{"a kind of port", "trundle watch --in pt", "--in pty:"},
}

// Interactive shells in a terminal, with the scripts that the program writes for
// them; bash needs the package bash-completion, as its script says.
func TestAShellCompletesTheNames(t *testing.T) {
	begin := map[string][]string{
		"bash": {"bash", "--norc", "--noprofile", "-i"},
		"zsh":  {"zsh", "-f", "-i"},
	}
	source := map[string]string{
		"bash": "source /usr/share/bash-completion/bash_completion; source <(trundle completion bash); bind 'set bell-style none'; PS1='ready> '",
		"zsh":  "autoload -U compinit; compinit -u -D; source <(trundle completion zsh); unsetopt beep; PROMPT='ready> '",
	}
	for shell, args := range begin {
		t.Run(shell, func(t *testing.T) {
			dir := shellFolder(t, shell)
			s := onScreen(t, 160, 24, []string{"HOME=" + dir}, args[0], args[1:]...)
			s.send("cd " + dir + "; " + source[shell] + "; clear\r")
			s.see("ready> ")
			for _, c := range tabbed {
				const forget, clear = "\x15", "\f" // the line, the screen
				s.send(forget + clear + c.typed)
				s.see("ready> " + c.typed)
				s.send("\t")
				s.see(c.stands)
			}
		})
	}
}

// Fish tells what it would complete without a terminal.
func TestFishCompletesTheNames(t *testing.T) {
	dir := shellFolder(t, "fish")
	for _, c := range tabbed {
		t.Run(c.name, func(t *testing.T) {
			cmd := exec.Command("fish", "--no-config", "-c", `trundle completion fish | source; complete -C "$argv[1]"`, c.typed)
			cmd.Dir, cmd.Env = dir, append(os.Environ(), "HOME="+dir)
			out, err := cmd.Output()
			require.NoError(t, err)
			words := strings.Fields(c.stands)
			require.Regexp(t, `(?m)^`+words[len(words)-1], string(out))
		})
	}
}

// shellFolder is a folder with an instrument and a relay, for a shell that is
// there.
func shellFolder(t *testing.T, shell string) string {
	needs := []string{shell}
	if shell == "bash" {
		needs = append(needs, "/usr/share/bash-completion/bash_completion")
	}
	for _, path := range needs {
		_, err := exec.LookPath(path)
		if filepath.IsAbs(path) {
			_, err = os.Stat(path)
		}
		if err != nil {
			require.NotEqual(t, "1", os.Getenv("TRUNDLE_PEERS"), "%s is required with TRUNDLE_PEERS=1", path)
			t.Skip(path + " is not installed")
		}
	}
	dir := t.TempDir()
	made := exec.Command("trundle", "new", "organ.yaml", "--relay", "relay")
	made.Dir = dir
	out, err := made.CombinedOutput()
	require.NoError(t, err, string(out))
	return dir
}
