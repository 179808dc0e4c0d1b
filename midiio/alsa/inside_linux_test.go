package alsa_test

import (
	"bytes"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// patience is how long anything in the guest is waited for.
const patience = 20 * time.Second

// program is another program, or ours, that runs beside the test.
type program struct {
	cmd  *exec.Cmd
	mu   sync.Mutex
	said bytes.Buffer
}

func (p *program) Write(text []byte) (int, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.said.Write(text)
}

func (p *program) output() string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.said.String()
}

func start(t *testing.T, name string, args ...string) *program {
	t.Helper()
	p := &program{cmd: exec.Command(name, args...)}
	p.cmd.Stdout, p.cmd.Stderr = p, p
	require.NoError(t, p.cmd.Start())
	t.Cleanup(func() { _ = p.cmd.Process.Kill() }) // most have ended
	return p
}

// says waits until a program has said something.
func (p *program) says(t *testing.T, pattern string) {
	t.Helper()
	until(t, func() bool { return regexp.MustCompile(pattern).MatchString(p.output()) }, "%v does not say %s", p, pattern)
}

// String is the program with the end of what it said.
func (p *program) String() string {
	said := p.output()
	return strings.Join(p.cmd.Args, " ") + ":\n" + said[max(0, len(said)-3000):]
}

// awake waits until a program hears what comes, which it does not at once when it
// has the device: it is sent tune requests until it shows one.
func (p *program) awake(t *testing.T, ping func(message string)) {
	t.Helper()
	heard := regexp.MustCompile("tune-request|F6")
	until(t, func() bool { ping("F6"); return heard.MatchString(p.output()) }, "%v hears nothing", p)
}

// interrupt ends a program as Ctrl-C does, and returns what it said.
func (p *program) interrupt(t *testing.T) string {
	t.Helper()
	require.NoError(t, p.cmd.Process.Signal(os.Interrupt))
	_ = p.cmd.Wait() // each has its own exit code
	return p.output()
}

// stop has a program stand still, and go on.
func (p *program) stop(t *testing.T) { require.NoError(t, p.cmd.Process.Signal(syscall.SIGSTOP)) }
func (p *program) goOn(t *testing.T) { require.NoError(t, p.cmd.Process.Signal(syscall.SIGCONT)) }

// run runs a program to its end and returns what it said.
func run(t *testing.T, name string, args ...string) string {
	t.Helper()
	return output(t, exec.Command(name, args...))
}

func until(t *testing.T, is func() bool, text string, args ...any) {
	t.Helper()
	for end := time.Now().Add(patience); !is(); time.Sleep(5 * time.Millisecond) {
		if time.Now().After(end) {
			require.Failf(t, "waited in vain", text, args...)
		}
	}
}

func read(path string) string {
	data, _ := os.ReadFile(path) // nothing where it is not there
	return string(data)
}

// connected waits until a client of the sequencer has a connection.
func connected(t *testing.T, client string) {
	t.Helper()
	pattern := regexp.MustCompile(`(?m)^Client +\d+ : "` + regexp.QuoteMeta(client) + `".*\n( .*\n)*? +Connect`)
	until(t, func() bool { return pattern.MatchString(read("/proc/asound/seq/clients")) }, "%s is not connected", client)
}

// opened waits until a raw device is open to read.
func opened(t *testing.T, device string) {
	t.Helper()
	pattern := regexp.MustCompile(`(?m)^Input .*\n( .*\n)* +Owner PID`)
	until(t, func() bool { return pattern.MatchString(read("/proc/asound/" + device)) }, "%s is not open", device)
}
