package desk

import (
	"io"
	"strings"
	"testing"
	"time"

	"github.com/gdamore/tcell/v2"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// sendingTTY is a terminal that sends what it is given.
type sendingTTY struct {
	fakeTTY
	sends chan []byte
}

func (s *sendingTTY) Read(p []byte) (int, error) {
	select {
	case <-s.closed:
		return 0, io.EOF
	case bytes := <-s.sends:
		return copy(p, bytes), nil
	}
}

// chunks are what a terminal sends, a part at each read.
type chunks struct {
	fakeTTY
	left [][]byte
}

func (c *chunks) Read(p []byte) (int, error) {
	if len(c.left) == 0 {
		return 0, io.EOF
	}
	n := copy(p, c.left[0])
	c.left = c.left[1:]
	return n, nil
}

// However UTF-8 is cut into reads, all of it comes; what is none is left out, as
// Go's own reading of it says.
func TestOnlyWholeCharactersAreRead(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		sent := rapid.SliceOf(rapid.SampledFrom([]byte("a\x1b[\xc3\xa9\xe2\x99\xaf\xf0\x9f\x8e\xb9\xff\x80"))).Draw(r, "bytes")
		tty := &chunks{}
		for rest := sent; len(rest) > 0; {
			n := rapid.IntRange(1, len(rest)).Draw(r, "cut")
			tty.left = append(tty.left, rest[:n])
			rest = rest[n:]
		}
		read, err := io.ReadAll(&wholeChars{Tty: tty})
		require.NoError(r, err)
		want := strings.ToValidUTF8(string(sent), "")
		require.Equal(r, want, string(read))
	})
}

// Whatever bytes a terminal sends, among them halves of sequences and of
// characters: nothing panics, neither here nor in what reads them, and a key
// that is pressed then still arrives.
func TestWhateverATerminalSendsTheNextKeyArrives(t *testing.T) {
	t.Setenv("TERM", "xterm-256color")
	parts := []string{"\x1b", "[", "O", "]", "P", "<", ";", "?", "M", "m", "~", "A", "u", "0", "1", "64", "99999999999999999999", "200~", "201~", "\\", "\a", "\x9b", "\x00", "é", "\xc3", "\xff", "a", "\r", "\x7f", "52;c;", "="}
	rapid.Check(t, func(r *rapid.T) {
		tty := &sendingTTY{fakeTTY{Writer: nowhere{}, size: tcell.WindowSize{Width: 80, Height: 24}, closed: make(chan struct{})}, make(chan []byte)}
		screen, err := tcell.NewTerminfoScreenFromTty(&wholeChars{Tty: tty})
		require.NoError(r, err)
		require.NoError(r, screen.Init())
		terminal := onScreen(screen)
		defer terminal.Close()
		for _, chunk := range rapid.SliceOfN(rapid.SliceOfN(rapid.SampledFrom(parts), 1, 12), 1, 16).Draw(r, "chunks") {
			bytes := ""
			for _, part := range chunk {
				bytes += part
			}
			tty.sends <- []byte(bytes)
		}
		tty.sends <- []byte("\x1b\\\x1b[201~Q") // what ends a string and a paste, and a key
		late := time.After(20 * time.Second)
		again := time.NewTicker(pasteGap + 100*time.Millisecond) // the first may have been the end of something
		defer again.Stop()
		for {
			select {
			case in := <-terminal.Inputs:
				if in.Key == "Q" {
					return
				}
			case <-again.C:
				select {
				case tty.sends <- []byte("\x1b\\Q"):
				default: // there is one on its way
				}
			case <-late:
				r.Fatal("waited in vain for a key")
			}
		}
	})
}
