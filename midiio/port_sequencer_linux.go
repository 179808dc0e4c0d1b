//go:build !rtmidi

package midiio

import (
	"errors"
	"fmt"
	"os"

	"trundle/midiio/alsa"
)

// midiPorts are the ports of the sequencer. A system without one has none.
func midiPorts() (list []Listed, err error) {
	client, err := alsa.OpenSequencer("trundle", "list", false, false)
	if errors.Is(err, os.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	ports := client.Ports()
	for i, name := range portNames(ports) {
		list = append(list, Listed{"midi:" + name, ports[i].Sends, ports[i].Takes})
	}
	return list, client.Close()
}

func portNames(ports []alsa.Port) []string {
	var names []string
	for _, p := range ports {
		names = append(names, p.Name)
	}
	return numbered(names)
}

func openMIDI(name string, direction Direction) (Port, error) {
	client, err := alsa.OpenSequencer("trundle", "port", false, false)
	if errors.Is(err, os.ErrNotExist) {
		return nil, errors.New("the system has no MIDI sequencer; if modprobe snd-seq does not bring it, name a raw device or a serial line (trundle ports)")
	}
	if err != nil {
		return nil, err
	}
	port, err := connect(client, name, direction)
	if err != nil {
		return nil, errors.Join(err, client.Close())
	}
	return port, nil
}

func connect(client *alsa.Sequencer, name string, direction Direction) (*sequencer, error) {
	ports := client.Ports()
	names := portNames(ports)
	i, err := pick("midi", name, names)
	if err != nil {
		return nil, err
	}
	name = names[i]
	s := &sequencer{Sequencer: client, name: "midi:" + name}
	switch port := ports[i]; {
	case direction == In && !port.Sends:
		return nil, fmt.Errorf("nothing comes from midi:%s: it only takes MIDI", name)
	case direction == Out && !port.Takes:
		return nil, fmt.Errorf("midi:%s takes nothing: MIDI only comes from it", name)
	case direction == In:
		err = client.Listen(port)
	default:
		err = client.Talk(port)
		if port.Device {
			s.byteTime = DIN
		}
	}
	if err != nil {
		return nil, fmt.Errorf("midi:%s cannot be opened: %w", name, err)
	}
	return s, nil
}
