package alsa_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What is said over the serial line between the guest and the program at its
// other end.
const guestReady = "sysex 7D 01 02 03"

var (
	hostSays  = []string{"note-on 1 60/C4 64", "note-on 1 64/E4 65", "timing-clock", "note-off 1 60/C4 64", "note-off 1 64/E4 64", "sysex 7D 41 42"}
	guestSays = []string{"note-on 1 62/D4 70", "control-change 1 7 127", "program-change 1 5", "note-off 1 62/D4 64", "control-change 1 123 0", "control-change 1 120 0"}
)

// uart has the kernel's driver for MIDI on a PC's second serial line take it
// from the driver for terminals.
func uart(t *testing.T) {
	devices, err := filepath.Glob("/sys/bus/pnp/drivers/serial/00:*")
	require.NoError(t, err)
	for _, device := range devices {
		if strings.Contains(read(device+"/resources"), "0x2f8") {
			require.NoError(t, os.WriteFile("/sys/bus/pnp/drivers/serial/unbind", []byte(filepath.Base(device)), 0o200))
		}
	}
	run(t, "modprobe", "snd-serial-u16550", "port=0x2f8", "irq=3", "speed=38400", "base=115200", "outs=1", "ins=1", "adaptor=4")
	name := ""
	until(t, func() bool {
		for line := range strings.Lines(run(t, "trundle", "ports")) {
			if strings.HasPrefix(line, "midi:") && strings.Contains(strings.ToLower(line), "serial") {
				name = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(line), "in and out"))
			}
		}
		return name != ""
	}, "the serial line is no port")
	client, _, _ := strings.Cut(strings.TrimPrefix(name, "midi:"), ":")
	d := start(t, "aseqdump", "-p", client)
	connected(t, "aseqdump")
	run(t, "trundle", "send", "--out", name, guestReady)
	d.says(t, "System exclusive +F0 7D 41 42 F7")
	said := strings.Join(strings.Fields(d.interrupt(t)), " ")
	require.Contains(t, said, " Clock ") // which overtakes what waits
	for _, dump := range []string{"Note on 0, note 60, velocity 64", "Note on 0, note 64, velocity 65", "Note off 0, note 60, velocity 64", "Note off 0, note 64, velocity 64"} {
		_, rest, found := strings.Cut(said, dump)
		require.True(t, found, "%s, in: %s", dump, said)
		said = rest
	}
	run(t, "trundle", append([]string{"send", "--out", name}, guestSays[:4]...)...)
}
