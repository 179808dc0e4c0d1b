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
	client, err := alsa.OpenSequencer("trundle", "list", false)
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
	client, err := alsa.OpenSequencer("trundle", "port", false)
	if errors.Is(err, os.ErrNotExist) {
		return nil, errors.New("the system has no MIDI sequencer; if modprobe snd-seq does not bring it, name a raw device or a serial line (trundle ports)")
	}
	if err != nil {
		return nil, err
	}
	if err := connect(client, name, direction); err != nil {
		return nil, errors.Join(err, client.Close())
	}
	return &sequencer{Sequencer: client}, nil
}

func connect(client *alsa.Sequencer, name string, direction Direction) error {
	ports := client.Ports()
	i, err := pick("midi", name, portNames(ports))
	if err != nil {
		return err
	}
	from, to := ports[i].Address, client.Address
	if direction == In && !ports[i].Sends {
		return fmt.Errorf("nothing comes from midi:%s: it only takes MIDI", name)
	}
	if direction == Out {
		if !ports[i].Takes {
			return fmt.Errorf("midi:%s takes nothing: MIDI only comes from it", name)
		}
		from, to = to, from
	}
	return client.Connect(from, to)
}
