package network

import (
	"bufio"
	"encoding/hex"
	"fmt"
	"io"
	"net/netip"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// other is the other end of a session: npm's rtpmidi 1.0.0, in a process.
type other struct {
	in    io.WriteCloser
	lines chan string
	exit  func() error
}

// fetched is where the package is, fetched from the npm registry.
func fetched(t *testing.T) string {
	npm := peer(t, "npm")
	if os.Getenv("TRUNDLE_PEERS") != "1" {
		t.Skip("without TRUNDLE_PEERS=1 nothing is fetched from the npm registry")
	}
	dir := t.TempDir()
	out, err := exec.Command(npm, "install", "--prefix", dir, "--no-audit", "--no-fund", "--prefer-offline", "--omit=optional", "rtpmidi@1.0.0").CombinedOutput()
	require.NoError(t, err, string(out))
	return filepath.Join(dir, "node_modules", "rtpmidi")
}

// newOther starts it on a port; it invites a peer if one is given.
func newOther(t *testing.T, path string, port uint16, peerPort ...uint16) *other {
	node := peer(t, "node")
	args := []string{filepath.Join("testdata", "peer.js"), path, strconv.Itoa(int(port))}
	for _, p := range peerPort {
		args = append(args, strconv.Itoa(int(p)))
	}
	cmd := exec.Command(node, args...)
	cmd.Stderr = os.Stderr
	stdin, err := cmd.StdinPipe()
	require.NoError(t, err)
	stdout, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	o := &other{stdin, make(chan string, 10_000), cmd.Wait}
	go func() {
		defer close(o.lines)
		for scanner := bufio.NewScanner(stdout); scanner.Scan(); {
			o.lines <- scanner.Text()
		}
	}()
	t.Cleanup(func() { _ = cmd.Process.Kill() }) // where the test failed
	require.Equal(t, "ready", o.line(t))
	return o
}

// line is the next line that it says.
func (o *other) line(t *testing.T) string {
	t.Helper()
	for limit := time.After(30 * time.Second); ; {
		select {
		case line, ok := <-o.lines:
			require.True(t, ok, "it has ended")
			if said, ours := strings.CutPrefix(line, "> "); ours {
				return said
			}
		case <-limit:
			require.Fail(t, "it prints nothing")
		}
	}
}

func (o *other) close(t *testing.T) {
	t.Helper()
	require.NoError(t, o.in.Close())
	require.NoError(t, o.exit())
}

// freePort is a port that was free with the one after it.
func freePort(t *testing.T) uint16 {
	n, err := bind(netip.MustParseAddr("127.0.0.1"), 0)
	require.NoError(t, err)
	port := n.Address().Port()
	require.NoError(t, n.control.Close())
	require.NoError(t, n.data.Close())
	return port
}

// talked are messages of all kinds, and 300 notes at once. (The package does not
// read a command of one octet at the end of a packet, and of two system
// exclusive messages in a row it writes the second without its F0.)
func talked() (list [][]byte) {
	long := append([]byte{0xF0, 0x7E}, make([]byte, 300)...)
	list = [][]byte{
		{0x90, 60, 64}, {0x90, 64, 65}, {0x80, 60, 1}, {0xF8}, {0xC0, 5}, {0xB0, 7, 100}, {0xE0, 0, 64}, {0xD3, 9}, {0xA1, 60, 3},
		{0xF2, 1, 2}, {0xF0, 0x7E, 0x7F, 6, 1, 0xF7}, {0x8F, 1, 2}, append(long, 0xF7),
	}
	for i := range 300 {
		list = append(list, []byte{0x90, byte(36 + i%61), byte(1 + i%127)})
	}
	return list
}

// exchange has both ends say all of it and hear all of it.
func exchange(t *testing.T, ours *Node, theirs *other) {
	t.Helper()
	await(t, ours, Answered)
	require.Equal(t, "synchronised", theirs.line(t))
	list := talked()
	require.NoError(t, ours.Send(list))
	for _, want := range list {
		require.Equal(t, hex.EncodeToString(want), theirs.line(t))
	}
	for _, command := range list {
		_, err := fmt.Fprintln(theirs.in, hex.EncodeToString(command))
		require.NoError(t, err)
	}
	require.Equal(t, list, receive(t, ours, len(list)))
	require.Eventually(t, func() bool {
		ours.mu.Lock()
		defer ours.mu.Unlock()
		return ours.endpoint.Settled()
	}, 10*time.Second, 10*time.Millisecond, "its feedback says that it has all")
}

// held are the note offs of what the other end left on.
func held(list [][]byte) int {
	i := newInstrument()
	for _, c := range list {
		i.play(c)
	}
	return len(i.notes)
}

func TestAnotherImplementationTalksWithUs(t *testing.T) {
	path := fetched(t)
	t.Run("invited by us", func(t *testing.T) {
		port := freePort(t)
		theirs := newOther(t, path, port)
		begun := time.Now()
		ours, err := Dial(loopback(port))
		require.NoError(t, err)
		t.Logf("joined %v after the invitation", time.Since(begun))
		exchange(t, ours, theirs)
		theirs.close(t)
		require.Len(t, receive(t, ours, held(talked())), held(talked()), "what it held is released")
		require.NoError(t, ours.Close())
	})
	t.Run("inviting us", func(t *testing.T) {
		ours, err := Listen(loopback(0), nil)
		require.NoError(t, err)
		theirs := newOther(t, path, freePort(t), ours.Address().Port())
		require.Equal(t, "other", await(t, ours, Joined).Name)
		exchange(t, ours, theirs)
		require.NoError(t, ours.Close())
		require.Equal(t, "left", theirs.line(t))
		theirs.close(t)
	})
}
