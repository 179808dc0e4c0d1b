package alsa_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/midiio"
	"trundle/midiio/alsa"
)

// The USB loop: the kernel's own MIDI device (f_midi) at its own host
// (dummy_hcd), whose driver for USB devices finds it. Both sides are sound
// cards.

const gadgetFolder = "/sys/kernel/config/usb_gadget/console"

// gadget sets the device up once, with two cables each way.
var gadget = sync.OnceValue(func() error {
	for _, f := range []struct{ name, text string }{
		{"idVendor", "0x1d6b"}, {"idProduct", "0x0104"},
		{"strings/0x409/product", "Console"}, {"strings/0x409/manufacturer", "Saltmarsh"}, {"strings/0x409/serialnumber", "1"},
		{"functions/midi.usb0/in_ports", "2"}, {"functions/midi.usb0/out_ports", "2"},
		{"configs/c.1/MaxPower", "100"},
	} {
		path := filepath.Join(gadgetFolder, f.name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(path, []byte(f.text), 0o644); err != nil {
			return err
		}
	}
	return os.Symlink(gadgetFolder+"/functions/midi.usb0", gadgetFolder+"/configs/c.1/midi")
})

var cards = regexp.MustCompile(`(?m)^ *(\d+) \[.*\]: (\S+)`)

// card is the number of the card of a driver, "" when there is none.
func card(driver string) string {
	for _, line := range cards.FindAllStringSubmatch(read("/proc/asound/cards"), -1) {
		if line[2] == driver {
			return line[1]
		}
	}
	return ""
}

// plug plugs the device in and returns the numbers of the cards at the host's
// and at the device's side.
func plug(t *testing.T) (host, device string) {
	t.Helper()
	require.NoError(t, gadget())
	if card("USB-Audio") == "" {
		require.NoError(t, os.WriteFile(gadgetFolder+"/UDC", []byte("dummy_udc.0"), 0o644))
		comes(t)
	}
	return card("USB-Audio"), card("MIDI")
}

func unplug(t *testing.T) {
	t.Helper()
	require.NoError(t, os.WriteFile(gadgetFolder+"/UDC", []byte("\n"), 0o644))
	goes(t)
}

func comes(t *testing.T) {
	t.Helper()
	until(t, func() bool {
		return card("USB-Audio") != "" && strings.Contains(read("/proc/asound/seq/clients"), `"Console MIDI 2"`)
	}, "the USB device does not come")
}

func goes(t *testing.T) {
	t.Helper()
	until(t, func() bool { return card("USB-Audio") == "" }, "the USB device does not go")
}

// allow has the host let the device go, or take it again, which stays plugged in
// so that who listens at its side goes on.
func allow(t *testing.T, what string) {
	t.Helper()
	products, err := filepath.Glob("/sys/bus/usb/devices/*/product")
	require.NoError(t, err)
	for _, product := range products {
		if strings.TrimSpace(read(product)) == "Console" {
			require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(product), "authorized"), []byte(what), 0o200))
		}
	}
}

func usbBothWays(t *testing.T) {
	_, device := plug(t)
	for name, subdevice := range map[string]string{"midi:Console MIDI 1": "0", "raw:Console MIDI 2": "1"} {
		far := "hw:" + device + ",0," + subdevice
		w := start(t, "trundle", "watch", "--no-sensing", "--in", name)
		w.awake(t, amidi(t, far))
		run(t, "amidi", "-p", far, "-S", everyByte())
		w.shows(t, everyText())
		require.Contains(t, w.interrupt(t), "messages, 0 faults")

		d := start(t, "amidi", "-p", far, "-d", "-a", "-c")
		d.awake(t, ours(t, name))
		run(t, "trundle", append([]string{"send", "--out", name}, everyText()...)...)
		d.dumps(t, append(everyText(), silences(1, 2)...))
	}
}

func busy(t *testing.T) {
	host, _ := plug(t)
	d := start(t, "amidi", "-p", "hw:"+host+",0,0", "-d")
	opened(t, "card"+host+"/midi0")
	for _, name := range []string{"raw:Console MIDI 1", "midi:Console MIDI 1"} {
		begin := time.Now()
		_, err := midiio.Open(name, midiio.In)
		require.EqualError(t, err, name+" cannot be opened: amidi has it (process "+strconv.Itoa(d.cmd.Process.Pid)+")")
		require.Less(t, time.Since(begin), time.Second)
	}
	d.interrupt(t)
}

func unplugged(t *testing.T) {
	for _, name := range []string{"midi:Console MIDI 1", "raw:Console MIDI 1"} {
		_, device := plug(t)
		w := start(t, "trundle", "watch", "--in", name)
		w.awake(t, amidi(t, "hw:"+device+",0,0"))
		run(t, "amidi", "-p", "hw:"+device+",0,0", "-S", "90 3C 40 40 41 43 42")
		w.shows(t, []string{"note-on 1 60/C4 64", "note-on 1 64/E4 65", "note-on 1 67/G4 66"})
		unplug(t)
		w.says(t, "port-gone.*: the port is gone; what it held is released: key 60/C4 of channel 1, key 64/E4 of channel 1, key 67/G4 of channel 1")
		plug(t)
		w.says(t, "port-back")
		run(t, "amidi", "-p", "hw:"+device+",0,0", "-S", "90 3C 40 80 3C 00")
		w.shows(t, []string{"note-on 1 60/C4 64", "note-on 1 64/E4 65", "note-on 1 67/G4 66", "port-back",
			"note-on 1 60/C4 64", "note-off 1 60/C4 0"})
		w.interrupt(t)
	}
}

func unpluggedOutput(t *testing.T) {
	for _, name := range []string{"midi:Console MIDI 1", "raw:Console MIDI 1"} {
		_, device := plug(t)
		d := start(t, "amidi", "-p", "hw:"+device+",0,0", "-d")
		d.awake(t, ours(t, name))
		out, err := midiio.TalkTo(name, 0, midiio.NewClock())
		require.NoError(t, err)
		told := make(chan error, 10)
		out.Return(name, func(gone error) { told <- gone })
		out.Send(message("note-on 1 60 64"))
		require.NoError(t, out.Drain(t.Context()))
		allow(t, "0")
		goes(t)
		require.ErrorIs(t, <-told, alsa.ErrGone)
		out.Send(message("note-on 1 64 64")) // not to be heard before its end
		allow(t, "1")
		comes(t)
		require.NoError(t, <-told)
		require.NoError(t, out.Drain(t.Context()))
		require.NoError(t, out.Close())
		d.dumps(t, append([]string{"note-on 1 60/C4 64", "note-off 1 60/C4 64", "note-off 1 64/E4 64"}, silences(1, 1)...)) // when it is back, and at the end
	}
}

// pour has amidi write so many messages of 3 bytes to the device's side, and
// waits until the host's side has all bytes.
func pour(t *testing.T, host, device string, messages int) {
	t.Helper()
	before := received(host)
	file := filepath.Join(t.TempDir(), "flood.syx")
	require.NoError(t, os.WriteFile(file, bytes.Repeat([]byte{0xB0, 7, 64}, messages), 0o600))
	run(t, "amidi", "-p", "hw:"+device+",0,0", "-s", file)
	until(t, func() bool { return received(host) == before+3*messages }, "only %d of %d bytes came", received(host)-before, 3*messages)
}

var rx = regexp.MustCompile(`Input 0\n +Rx bytes +: (\d+)`)

// received is how many bytes the kernel says that it had from a card.
func received(card string) int {
	match := rx.FindStringSubmatch(read("/proc/asound/card" + card + "/midi0"))
	if match == nil {
		return 0
	}
	n, err := strconv.Atoi(match[1])
	if err != nil {
		panic(err)
	}
	return n
}

// rawFlood has our program stand still, so that what comes fills the kernel's
// buffer.
func rawFlood(t *testing.T) {
	host, device := plug(t)
	w := start(t, "trundle", "watch", "--only", "tune-request", "--in", "raw:Console MIDI 1")
	w.awake(t, amidi(t, "hw:"+device+",0,0"))
	w.stop(t)
	pour(t, host, device, 25_000) // the buffer holds 64 KB
	w.goOn(t)
	w.says(t, "port-overrun: the system lost messages, because they came too fast")
	w.interrupt(t)

	devices, err := alsa.Devices()
	require.NoError(t, err)
	i := slices.IndexFunc(devices, func(d alsa.Device) bool { return d.Name == "Console MIDI 1" })
	raw, err := alsa.OpenRaw(devices[i], false)
	require.NoError(t, err)
	pour(t, host, device, 25_000) // the buffer holds 64 KB
	heard, buffer := 0, make([]byte, 1000)
	var lost alsa.LostError
	for {
		n, err := raw.Read(buffer)
		heard += n
		if errors.As(err, &lost) {
			break
		}
		require.NoError(t, err)
	}
	require.Equal(t, 75_000, heard+lost.Bytes)
	require.NoError(t, raw.Close())
}

func sequencerFlood(t *testing.T) {
	host, device := plug(t)
	w := start(t, "trundle", "watch", "--in", "midi:Console MIDI 1")
	w.awake(t, amidi(t, "hw:"+device+",0,0"))
	w.stop(t)
	pour(t, host, device, 5000)
	w.goOn(t)
	w.says(t, "port-overrun: the system lost messages, because they came too fast")
	run(t, "amidi", "-p", "hw:"+device+",0,0", "-S", "FA")
	w.says(t, "start")
	w.interrupt(t)
}

// receiverFlood sends more than aseqdump's queue of 200 events holds: it gets
// all of it while it listens.
func receiverFlood(t *testing.T) {
	d := start(t, "aseqdump")
	there(t, "aseqdump")
	port, err := midiio.Open("midi:aseqdump", midiio.Out)
	require.NoError(t, err)
	for _, text := range everyText() {
		_, err := port.Write(message(text).Bytes())
		require.NoError(t, err)
	}
	_, err = port.Write(bytes.Repeat([]byte{0x90, 60, 64}, 2000))
	require.NoError(t, err)
	until(t, func() bool { return strings.Count(d.output(), "Note on") == 2002 }, "aseqdump heard %d", strings.Count(d.output(), "Note on"))
	d.stop(t)
	_, err = port.Write(bytes.Repeat([]byte{0x90, 60, 64}, 2000))
	var lost alsa.LostError
	require.ErrorAs(t, err, &lost)
	require.NoError(t, port.Close())
	d.goOn(t)
}
