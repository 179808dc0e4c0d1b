package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/hinshun/vt10x"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
)

// screen is a program in a terminal of its own: the kernel's, read by an
// emulator.
type screen struct {
	t      *testing.T
	cmd    *exec.Cmd
	master *os.File
	slave  *os.File
	vt     vt10x.Terminal
	before unix.Termios
	ended  chan error

	resized bool // which the emulator does by forgetting what it showed before
}

const prompt = "$ trundle desk"

// onScreen starts a program of ours in a terminal of a size.
func onScreen(t *testing.T, w, h int, env []string, name string, args ...string) *screen {
	t.Helper()
	program, err := exec.LookPath(name)
	require.NoError(t, err)
	s := &screen{t: t, cmd: exec.Command(program, args...), ended: make(chan error, 1)}
	s.master, s.slave = openTerminal(t, w, h)
	s.vt = vt10x.New(vt10x.WithSize(w, h), vt10x.WithWriter(s.master))
	_, err = s.vt.Write([]byte(prompt + "\r\n"))
	require.NoError(t, err)
	before, err := unix.IoctlGetTermios(int(s.slave.Fd()), unix.TCGETS)
	require.NoError(t, err)
	s.before = *before
	s.cmd.Stdin, s.cmd.Stdout, s.cmd.Stderr = s.slave, s.slave, s.slave
	s.cmd.Env = append(os.Environ(), append([]string{"TERM=xterm-256color", "LC_ALL=C.UTF-8", "NO_COLOR="}, env...)...)
	s.cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	require.NoError(t, s.cmd.Start())
	t.Cleanup(func() {
		_ = s.cmd.Process.Kill() // it has ended, unless the test failed
		s.slave.Close()
		s.master.Close()
	})
	go func() {
		buffer := make([]byte, 1<<16)
		for {
			n, err := s.master.Read(buffer)
			if err != nil {
				return
			}
			_, _ = s.vt.Write(buffer[:n]) // an emulator takes everything
		}
	}()
	go func() { s.ended <- s.cmd.Wait() }()
	return s
}

func openTerminal(t *testing.T, w, h int) (master, slave *os.File) {
	t.Helper()
	master, err := os.OpenFile("/dev/ptmx", os.O_RDWR|unix.O_NOCTTY, 0)
	require.NoError(t, err)
	require.NoError(t, unix.IoctlSetPointerInt(int(master.Fd()), unix.TIOCSPTLCK, 0))
	number, err := unix.IoctlGetInt(int(master.Fd()), unix.TIOCGPTN)
	require.NoError(t, err)
	slave, err = os.OpenFile(fmt.Sprintf("/dev/pts/%d", number), os.O_RDWR|unix.O_NOCTTY, 0)
	require.NoError(t, err)
	require.NoError(t, unix.IoctlSetWinsize(int(slave.Fd()), unix.TIOCSWINSZ, &unix.Winsize{Row: uint16(h), Col: uint16(w)}))
	return master, slave
}

func (s *screen) send(keys string) {
	s.t.Helper()
	_, err := s.master.WriteString(keys)
	require.NoError(s.t, err)
}

// see waits until a text stands on the screen.
func (s *screen) see(text string) {
	s.t.Helper()
	if !s.eventually(func() bool { return strings.Contains(s.vt.String(), text) }) {
		require.FailNow(s.t, "waited in vain for "+text, s.vt.String())
	}
}

func (s *screen) eventually(is func() bool) bool {
	for late := time.Now().Add(20 * time.Second); !is(); time.Sleep(time.Millisecond) {
		if time.Now().After(late) {
			return false
		}
	}
	return true
}

// leftAsItWas waits for the end, and holds the terminal to what it was before.
func (s *screen) leftAsItWas(exit int) {
	s.t.Helper()
	if err := <-s.ended; exit == 0 {
		require.NoError(s.t, err)
	} else {
		requireExit(s.t, exit, err)
	}
	if !s.resized {
		s.see(prompt)
	}
	after, err := unix.IoctlGetTermios(int(s.slave.Fd()), unix.TCGETS)
	require.NoError(s.t, err)
	require.Equal(s.t, s.before, *after)
	require.True(s.t, s.eventually(func() bool {
		s.vt.Lock()
		defer s.vt.Unlock()
		return s.vt.CursorVisible() && s.vt.Mode()&(vt10x.ModeAltScreen|vt10x.ModeMouseMask|vt10x.ModeAppCursor) == 0
	}), "the terminal is not as it was")
}

const saltmarsh = "examples/saltmarsh/organ.yaml"

// A C, a D and an E of the Great are played on a stop that was found.
func playOnScreen(t *testing.T) *screen {
	s := onScreen(t, 80, 24, nil, "trundle", "desk", saltmarsh)
	s.see("Saltmarsh Hall")
	s.send("/chimney\r\r")
	s.see("■ Chimney Flute 8")
	s.send("asd")
	s.see("3 paths, 3 pipes")
	s.see("●")
	return s
}

func TestTheDeskPlaysInATerminalAndLeavesItAsItWas(t *testing.T) {
	for name, c := range map[string]struct {
		end  func(s *screen)
		exit int
	}{
		"quit":                 {func(s *screen) { s.send("\x11") }, exitGood},
		"Ctrl-C":               {func(s *screen) { s.send("\x03") }, exitInterrupted},
		"an end":               {func(s *screen) { require.NoError(t, s.cmd.Process.Signal(syscall.SIGTERM)) }, exitInterrupted},
		"SIGINT":               {func(s *screen) { require.NoError(t, s.cmd.Process.Signal(os.Interrupt)) }, exitInterrupted},
		"a line that hangs up": {func(s *screen) { require.NoError(t, s.cmd.Process.Signal(syscall.SIGHUP)) }, exitInterrupted},
	} {
		t.Run(name, func(t *testing.T) {
			s := playOnScreen(t)
			c.end(s)
			s.leftAsItWas(c.exit)
		})
	}
}

func TestAPanicLeavesTheTerminalAsItWasAndSaysWhatHappened(t *testing.T) {
	s := onScreen(t, 100, 40, nil, "desk-that-panics", saltmarsh)
	s.see("Saltmarsh Hall")
	s.send("/chimney\rc")
	s.see("step 1 of 3")
	s.send("v\r")
	s.leftAsItWas(2) // what a Go program ends with when it panics
	s.see("a fault of ours")
}

func TestTheDeskFollowsTheSizeOfItsTerminal(t *testing.T) {
	s := playOnScreen(t)
	s.resized = true
	s.vt.Resize(60, 20)
	require.NoError(t, unix.IoctlSetWinsize(int(s.slave.Fd()), unix.TIOCSWINSZ, &unix.Winsize{Row: 20, Col: 60}))
	s.see("The desk needs a screen of 80 columns and 24 rows")
	s.vt.Resize(160, 50)
	require.NoError(t, unix.IoctlSetWinsize(int(s.slave.Fd()), unix.TIOCSWINSZ, &unix.Winsize{Row: 50, Col: 160}))
	s.see("[1 sounding]")
	s.see("Reeds On")
	s.send("\x11")
	s.leftAsItWas(exitGood)
}

// A byte that is no UTF-8, as a terminal of another encoding sends it.
func TestAByteThatIsNoCharacterStopsNothing(t *testing.T) {
	s := onScreen(t, 80, 24, nil, "trundle", "desk", saltmarsh)
	s.see("Saltmarsh Hall")
	s.send("\xe4/chimney\xff\r\r")
	s.see("■ Chimney Flute 8")
	s.send("\x11")
	s.leftAsItWas(exitGood)
}

// The mouse, as an xterm reports it (SGR coordinates, 1006).
func TestTheMouseWorksInATerminal(t *testing.T) {
	s := onScreen(t, 80, 24, nil, "trundle", "desk", saltmarsh)
	const stop = "· Chimney Flute 8"
	s.see(stop)
	for y, row := range strings.Split(s.vt.String(), "\n") {
		if before, _, found := strings.Cut(row, stop); found {
			at := fmt.Sprintf("\x1b[<0;%d;%d", utf8.RuneCountInString(before)+1, y+1)
			s.send(at + "M" + at + "m")
		}
	}
	s.see("■ Chimney Flute 8")
	s.send("\x11")
	s.leftAsItWas(exitGood)
}

func TestALocaleWithoutUTF8GetsASCII(t *testing.T) {
	s := onScreen(t, 80, 24, []string{"LC_ALL=C"}, "trundle", "desk", saltmarsh)
	s.see("Saltmarsh Hall")
	s.see("O held  v moved  + coupled")
	for _, r := range s.vt.String() {
		require.Less(t, r, rune(0x80), "%q", r)
	}
	s.send("\x11")
	s.leftAsItWas(exitGood)
}

func TestNO_COLORHasNoColour(t *testing.T) {
	for value, coloured := range map[string]bool{"": true, "1": false} {
		s := onScreen(t, 80, 24, []string{"NO_COLOR=" + value}, "trundle", "desk", saltmarsh)
		s.see("● held")
		found := false
		s.vt.Lock()
		for y := range 24 {
			for x := range 80 {
				glyph := s.vt.Cell(x, y)
				found = found || glyph.Char != ' ' && glyph.FG != vt10x.DefaultFG && glyph.FG != vt10x.DefaultBG
			}
		}
		s.vt.Unlock()
		require.Equal(t, coloured, found, "NO_COLOR=%s", value)
		s.send("\x11")
		s.leftAsItWas(exitGood)
	}
}

func TestACaptureOutlivesTheDesk(t *testing.T) {
	memory := filepath.Join(t.TempDir(), "memory.yaml")
	s := onScreen(t, 100, 40, nil, "trundle", "desk", saltmarsh, "--memory", memory)
	s.see("Saltmarsh Hall")
	s.send("/chimney\r\rx/general-1\r\r")
	s.see("captured 1/general-1")
	require.Contains(t, string(read(memory)), "great-flute-8")
	s.send("\x11")
	s.leftAsItWas(exitGood)
}

// A MIDI keyboard plays, what it plays goes on to the organ, and the port is
// silenced at the end: a note off for the key that is still held, then all
// notes off and all sound off.
func TestTheDeskTakesAndGivesMIDIAndEndsInSilence(t *testing.T) {
	dir := t.TempDir()
	in, out := filepath.Join(dir, "in"), filepath.Join(dir, "out")
	s := onScreen(t, 80, 24, nil, "trundle", "desk", saltmarsh, "--in", "pty:"+in, "--out", "file:"+out)
	s.see("Great C4")
	keyboard, err := os.OpenFile(in, os.O_WRONLY|unix.O_NOCTTY, 0)
	require.NoError(t, err)
	defer keyboard.Close()
	_, err = keyboard.Write([]byte{0x90, 60, 100})
	require.NoError(t, err)
	s.send("/chimney\r\r")
	s.see("1 path, 1 pipe")
	s.send("3")
	s.see("note-on 1 60/C4 100: great C4 on")
	require.NoError(t, s.cmd.Process.Signal(syscall.SIGTERM))
	s.leftAsItWas(exitInterrupted)
	require.Contains(t, string(read(out)), string([]byte{0x90, 60, 64}))
	require.Contains(t, string(read(out)), string([]byte{0x80, 60, 64, 0xB0, 123, 0, 120, 0}))
}
