package midiio

import (
	"fmt"
	"time"

	"trundle/midiio/alsa"
)

// rawDevice is a raw MIDI device.
type rawDevice struct {
	*alsa.Raw
	name string
}

func (rawDevice) ByteTime() time.Duration { return 0 }
func (r rawDevice) FullName() string      { return "raw:" + r.name }

// rawDevices are the raw MIDI devices.
func rawDevices() (list []Listed, err error) {
	devices, err := alsa.Devices()
	for i, name := range rawNames(devices) {
		list = append(list, Listed{"raw:" + name, devices[i].Sends, devices[i].Takes})
	}
	return list, err
}

func rawNames(devices []alsa.Device) []string {
	var names []string
	for _, d := range devices {
		names = append(names, d.Name)
	}
	return numbered(names)
}

func openRaw(name string, direction Direction) (Port, error) {
	devices, err := alsa.Devices()
	if err != nil {
		return nil, err
	}
	names := rawNames(devices)
	i, err := pick("raw", name, names)
	if err != nil {
		return nil, err
	}
	device, err := alsa.OpenRaw(devices[i], direction == Out)
	if err != nil {
		return nil, fmt.Errorf("raw:%s cannot be opened: %w", names[i], err)
	}
	return rawDevice{device, names[i]}, nil
}

// sequencer is a port of the sequencer. Whole messages pass; the bytes of one
// wait until it is complete.
type sequencer struct {
	*alsa.Sequencer
	name    string // with its kind
	unread  []byte
	split   Tokenizer
	encoder Encoder
	failed  error

	// Of an output to a device. The kernel drops without a word what does not
	// fit its 4 KB, so it gets no more than a MIDI cable would carry.
	byteTime time.Duration

	holding map[alsa.Address]*Keys // of a port of our own, by who sends to it
}

func (s *sequencer) FullName() string        { return s.name }
func (*sequencer) WholeMessages()            {}
func (s *sequencer) ByteTime() time.Duration { return s.byteTime }

// openOwn makes a port that other programs find by its name and connect.
func openOwn(name string, direction Direction) (Port, error) {
	if len(name) > 63 {
		return nil, fmt.Errorf("own:%s is too long a name: the system keeps 63 bytes of it", name)
	}
	client, err := alsa.OpenSequencer(name, name, direction == Out, direction == In)
	if err != nil {
		return nil, err
	}
	return &sequencer{Sequencer: client, name: "own:" + name, holding: map[alsa.Address]*Keys{}}, nil
}

func (s *sequencer) Read(p []byte) (int, error) {
	for len(s.unread) == 0 {
		heard, err := s.Receive()
		switch {
		case err != nil:
			return 0, err
		case !heard.Left:
			s.unread = heard.Bytes
			s.follow(heard)
		case s.holding == nil:
			return 0, alsa.ErrGone
		default:
			s.unread = s.release(heard.From)
		}
	}
	n := copy(p, s.unread)
	s.unread = s.unread[n:]
	return n, nil
}

// follow keeps account of the keys that each sender to a port of our own holds.
func (s *sequencer) follow(heard alsa.Heard) {
	if s.holding == nil {
		return
	}
	keys := s.holding[heard.From]
	if keys == nil {
		keys = new(Keys)
		s.holding[heard.From] = keys
	}
	s.split.Feed(heard.Bytes, keys.Hear)
}

// release are the bytes that release what a sender held which has left.
func (s *sequencer) release(from alsa.Address) (bytes []byte) {
	if keys := s.holding[from]; keys != nil {
		for _, m := range keys.offs() {
			bytes = append(bytes, m.Bytes()...)
		}
		delete(s.holding, from)
	}
	return bytes
}

// Write sends the messages that are complete.
func (s *sequencer) Write(p []byte) (int, error) {
	s.failed = nil
	s.split.Feed(p, func(m Message) {
		if s.failed == nil {
			s.encoder.Refresh()
			s.failed = s.Send(s.encoder.Append(nil, m))
		}
	})
	if s.failed != nil {
		return 0, s.failed
	}
	return len(p), nil
}
