package alsa_test

import (
	"errors"
	"io"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/midiio"
)

// TestMain has this program echo a port when it is told so.
func TestMain(m *testing.M) {
	if name := os.Getenv("TRUNDLE_GUEST_ECHO"); name != "" {
		if err := echo(name); err != nil {
			panic(err)
		}
		return
	}
	os.Exit(m.Run())
}

// echo sends back what comes from a port, by the way that all messages take.
func echo(name string) error {
	if path, found := strings.CutPrefix(name, "bytes:"); found {
		return echoBytes(path)
	}
	clock := midiio.NewClock()
	in, err := midiio.ListenTo(name, clock)
	if err != nil {
		return err
	}
	out, err := midiio.TalkTo(name, 0, clock)
	if err != nil {
		return err
	}
	for range in.Ready() {
		for _, m := range in.Take().Messages {
			out.Send(m.Message)
		}
	}
	return nil
}

// echoBytes sends back what comes from a device, without a look at it.
func echoBytes(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	buffer := make([]byte, 4096)
	for {
		n, err := f.Read(buffer)
		if err != nil {
			return err
		}
		if _, err := f.Write(buffer[:n]); err != nil {
			return err
		}
	}
}

// roundTrip measures, at the device's side of the USB loop, how long after a
// key has been written it is back: by cat and a loop like it in Go, which pass
// bytes, and by ours.
func roundTrip(t *testing.T) {
	host, device := plug(t)
	raw := "/dev/snd/midiC" + host + "D0"
	port, err := os.OpenFile("/dev/snd/midiC"+device+"D0", os.O_RDWR, 0)
	require.NoError(t, err)
	defer port.Close()
	for _, c := range []struct{ name, program, echo string }{
		{"cat on the raw device", "exec cat " + raw + " >" + raw, ""},
		{"a loop in Go on the raw device", "exec " + os.Args[0], "bytes:" + raw},
		{"trundle on the raw device", "exec " + os.Args[0], "raw:Console MIDI 1"},
		{"trundle on the sequencer", "exec " + os.Args[0], "midi:Console MIDI 1"},
	} {
		cmd := exec.Command("sh", "-c", c.program)
		cmd.Env = append(os.Environ(), "TRUNDLE_GUEST_ECHO="+c.echo)
		cmd.Stderr = os.Stderr
		require.NoError(t, cmd.Start())
		awaken(t, port)
		var times []time.Duration
		for i := range 500 {
			key := []byte{0x90, byte(36 + i%61), 64}
			begin := time.Now()
			require.Equal(t, key, answer(t, port, key, patience), c.name)
			times = append(times, time.Since(begin))
		}
		slices.Sort(times)
		t.Logf("figure: %s: of 500 keys half are back after %v, 99 in 100 after %v", c.name,
			times[250].Round(time.Microsecond), times[495].Round(time.Microsecond))
		require.NoError(t, cmd.Process.Kill())
		_ = cmd.Wait() // it was killed
	}
}

// answer writes bytes and reads as many: nil when none come in time.
func answer(t *testing.T, port *os.File, bytes []byte, patience time.Duration) []byte {
	t.Helper()
	require.NoError(t, port.SetDeadline(time.Now().Add(patience)))
	_, err := port.Write(bytes)
	require.NoError(t, err)
	back := make([]byte, len(bytes))
	if _, err = io.ReadFull(port, back); errors.Is(err, os.ErrDeadlineExceeded) {
		return nil
	}
	require.NoError(t, err)
	return back
}

// awaken waits until whoever echoes hears what comes (program.awake), and has
// answered all of that.
func awaken(t *testing.T, port *os.File) {
	t.Helper()
	until(t, func() bool { return answer(t, port, []byte{0xF6}, 100*time.Millisecond) != nil }, "there is no echo")
	back := answer(t, port, []byte{0xFA}, patience)
	for back[0] != 0xFA {
		_, err := io.ReadFull(port, back)
		require.NoError(t, err)
	}
}
