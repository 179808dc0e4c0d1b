package alsa

import (
	"bufio"
	"errors"
	"fmt"
	"os"
	"strings"
)

// takenFrom is the error of a port whose device a program has opened past the
// sequencer. The port has the name of the device.
func takenFrom(port Port, write bool) error {
	devices, _ := Devices() // those that can be listed
	for _, d := range devices {
		if d.Name == port.Name {
			return taken(d, write)
		}
	}
	return errTaken
}

var errTaken = errors.New("another program has it")

// taken is the error of a device that a program has open; it names that as far
// as the kernel tells.
func taken(d Device, write bool) error {
	proc, err := os.ReadFile(fmt.Sprintf("/proc/asound/card%d/midi%d", d.Card, d.Device))
	if err != nil {
		return errTaken
	}
	owner := ownerIn(string(proc), d.Subdevice, write)
	if owner == "" {
		return errTaken
	}
	name, err := os.ReadFile("/proc/" + owner + "/comm")
	if err != nil {
		return fmt.Errorf("process %s has it", owner)
	}
	return fmt.Errorf("%s has it (process %s)", strings.TrimSpace(string(name)), owner)
}

// ownerIn finds the process that has a device open in what the kernel says of
// it: "Input 0" or "Output 0" with indented lines below, one of them "Owner PID".
func ownerIn(proc string, subdevice int, write bool) string {
	section := "Input"
	if write {
		section = "Output"
	}
	within := false
	lines := bufio.NewScanner(strings.NewReader(proc))
	for lines.Scan() {
		line := lines.Text()
		if !strings.HasPrefix(line, " ") {
			within = subdevice < 0 && strings.HasPrefix(line, section+" ") || line == fmt.Sprint(section, " ", subdevice)
		}
		key, value, _ := strings.Cut(line, ":")
		if within && strings.TrimSpace(key) == "Owner PID" {
			return strings.TrimSpace(value)
		}
	}
	return ""
}
