package alsa_test

import (
	"context"
	"fmt"
	"io"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/midiio"
)

// inGuest are the tests that run in a virtual machine, with the kernel's drivers
// and the programs of alsa-utils.
var inGuest = []struct {
	name string
	run  func(*testing.T)
}{
	{"ports of the sequencer and raw devices are listed as others list them", listed},
	{"what others write to a raw device comes from the sequencer", fromRawToSequencer},
	{"what is sent to the sequencer comes from a raw device", fromSequencerToRaw},
	{"what is written to a raw device is what others hear", fromOurRawDevice},
	{"what others send comes from a raw device", toOurRawDevice},
	{"other programs connect a port of our own", ownPort},
	{"a sender that leaves a port of our own leaves no key on", ownPortReleases},
	{"a name of a port that may be any of several is told of", names},
	{"a USB device passes all messages both ways", usbBothWays},
	{"a device that is taken is told of at once, with who has it", busy},
	{"a USB device that is unplugged during a chord releases it and is found again", unplugged},
	{"an output that was unplugged releases what it held once it is back", unpluggedOutput},
	{"what a raw device loses is counted", rawFlood},
	{"what the sequencer loses is told of", sequencerFlood},
	{"what a receiver has no room for is told to the sender", receiverFlood},
	{"a serial line reaches the program on the host", uart},
	{"keys come back through the USB loop", roundTrip},
	{"a bench passes a relay without a mistake, and names those that are made", benched},
}

// TestInAGuest boots the machine, in which this program runs once more; what it
// says there is the verdict here.
func TestInAGuest(t *testing.T) {
	if os.Getenv("TRUNDLE_GUEST") != "" {
		for _, c := range inGuest {
			t.Run(c.name, c.run)
		}
		return
	}
	if runtime.GOARCH != "amd64" {
		t.Skip("the guest is a PC that runs this machine's own alsa-utils")
	}
	for _, program := range []string{"qemu-system-x86_64", "busybox", "amidi", "cpio", "depmod", "apt-get"} {
		if _, err := exec.LookPath(program); os.Getenv("TRUNDLE_PEERS") != "1" && err != nil {
			t.Skipf("%s is not installed", program)
		}
	}
	dir := t.TempDir()
	for _, build := range [][]string{
		{"test", "-c", "-ldflags=-s -w", "-o", dir + "/inside.test", "trundle/midiio/alsa"},
		{"build", "-ldflags=-s -w", "-o", dir + "/trundle", "trundle/cmd/trundle"},
	} {
		cmd := exec.Command("go", build...)
		cmd.Env = append(os.Environ(), "CGO_ENABLED=0", "GOOS=linux", "GOARCH=amd64")
		output(t, cmd)
	}
	output(t, exec.Command("testdata/guest/mkinitramfs", dir, dir+"/inside.test", dir+"/trundle"))
	host := newSerialHost(t, dir)
	said := boot(t, dir)
	host.end()

	for _, c := range inGuest {
		t.Run(c.name, func(t *testing.T) {
			name := "TestInAGuest/" + strings.ReplaceAll(c.name, " ", "_")
			_, about, found := strings.Cut(said, "=== RUN   "+name+"\n")
			require.True(t, found, "the guest did not get there:\n%s", said)
			about, _, _ = strings.Cut(about, "\n=== RUN")
			require.Contains(t, said, "--- PASS: "+name+" (", about)
		})
	}
	t.Run("the serial line's other end hears the guest", host.check)
	for line := range strings.Lines(said) {
		if _, figure, found := strings.Cut(line, "figure: "); found {
			t.Log(strings.TrimSpace(figure))
		}
	}
}

func output(t *testing.T, cmd *exec.Cmd) string {
	t.Helper()
	said, err := cmd.CombinedOutput()
	require.NoError(t, err, "%v: %s", cmd.Args, said)
	return string(said)
}

// boot runs the guest to its end and returns what it said.
func boot(t *testing.T, dir string) string {
	ctx, cancel := context.WithTimeout(t.Context(), 8*time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, "qemu-system-x86_64", "-m", "512", "-display", "none", "-no-reboot", "-nodefaults", "-monitor", "none",
		"-kernel", dir+"/vmlinuz", "-initrd", dir+"/initrd", "-append", "console=ttyS0 quiet panic=-1 mitigations=off",
		"-serial", "stdio", "-chardev", "socket,id=line,server=on,wait=off,path="+dir+"/line", "-serial", "chardev:line",
		"-device", "isa-debug-exit,iobase=0x501,iosize=1")
	said, err := cmd.CombinedOutput()
	text := strings.ReplaceAll(string(said), "\r\n", "\n")
	// The device has the machine end with twice the code and 1: 16 and that of the tests, which are 0 and 1.
	if code := cmd.ProcessState.ExitCode(); code != 2*16+1 && code != 2*17+1 {
		require.Fail(t, "the guest did not come to its end", "%v\n%s", err, text)
	}
	return text
}

// serialHost is the program's other end of the guest's serial line: a
// pseudo-terminal joined to it, which our serial port opens.
type serialHost struct {
	in    *midiio.Input
	out   *midiio.Output
	far   midiio.Port
	heard []string
	done  chan struct{}
}

// newSerialHost waits for the guest in the background, and answers its first
// system exclusive message with a chord.
func newSerialHost(t *testing.T, dir string) *serialHost {
	link := filepath.Join(dir, "pty")
	far, err := midiio.Open("pty:"+link, midiio.In)
	require.NoError(t, err)
	near, err := midiio.Open("serial:"+link+"@31250", midiio.In)
	require.NoError(t, err)
	clock := midiio.NewClock()
	h := &serialHost{midiio.Listen(near, clock), midiio.Talk(near, midiio.DIN, clock), far, nil, make(chan struct{})}
	go h.join(dir + "/line")
	go h.answer()
	return h
}

// join passes all bytes between the pseudo-terminal and the guest.
func (h *serialHost) join(socket string) {
	for {
		conn, err := net.Dial("unix", socket)
		if err != nil {
			time.Sleep(10 * time.Millisecond) // the machine has not started
			continue
		}
		go func() { _, _ = io.Copy(conn, h.far) }()
		_, _ = io.Copy(h.far, conn)
		return
	}
}

func (h *serialHost) answer() {
	defer close(h.done)
	for range h.in.Ready() {
		taken := h.in.Take()
		for _, m := range taken.Messages {
			h.heard = append(h.heard, m.Message.String())
			if m.Message.String() == guestReady {
				for _, m := range hostSays {
					h.out.Send(message(m))
				}
			}
		}
		if taken.Closed {
			return
		}
	}
}

func (h *serialHost) end() {
	_ = h.in.Close() // closes the port that both have
	<-h.done
	_ = h.out.Close()
	_ = h.far.Close()
}

// check looks at what came. The kernel's driver begins with two bytes of its
// own, F5 and the number of the output.
func (h *serialHost) check(t *testing.T) {
	want := append([]string{"undefined F5", "no-status 01", guestReady}, guestSays...)
	require.Equal(t, want, h.heard)
}

func message(text string) midiio.Message {
	m, err := midiio.ParseMessage(text)
	if err != nil {
		panic(fmt.Sprint(text, ": ", err))
	}
	return m
}
