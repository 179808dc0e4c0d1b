//go:build rtmidi

package midiio

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"gitlab.com/gomidi/midi/v2/drivers"
	"gitlab.com/gomidi/midi/v2/drivers/rtmididrv"
)

// errNoSystem stands for the driver's own text, which without a sequencer is
// not even text.
var errNoSystem = errors.New("the system has no MIDI ports to offer: is its MIDI service running?")

func midiPorts() ([]Listed, error) {
	driver, err := rtmididrv.New()
	if err != nil {
		return nil, errNoSystem
	}
	defer driver.Close()
	ins, inErr := driver.Ins()
	outs, outErr := driver.Outs()
	if inErr != nil || outErr != nil {
		return nil, errNoSystem
	}
	var list []Listed
	for _, name := range named(ins) {
		list = append(list, Listed{"midi:" + name, true, false})
	}
	for _, name := range named(outs) {
		list = append(list, Listed{"midi:" + name, false, true})
	}
	return list, nil
}

// named are the names of ports; the second of a name has #2 behind it.
func named[P drivers.Port](ports []P) []string {
	seen := map[string]int{}
	var names []string
	for _, p := range ports {
		name := p.String()
		seen[name]++
		if n := seen[name]; n > 1 {
			name += "#" + strconv.Itoa(n)
		}
		names = append(names, name)
	}
	return names
}

func openMIDI(name string, direction Direction) (Port, error) {
	driver, err := rtmididrv.New()
	if err != nil {
		return nil, errNoSystem
	}
	p := &system{driver: driver}
	if direction == In {
		err = p.listen(name)
	} else {
		err = p.talk(name)
	}
	if err != nil {
		return nil, errors.Join(err, driver.Close())
	}
	return p, nil
}

// system is a MIDI port of the system. The driver's messages become bytes
// again, so that they take the one way through our tokenizer.
type system struct {
	driver *rtmididrv.Driver
	in     *pipe
	stop   func()
	out    drivers.Out
	split  Tokenizer
	failed error
}

func (s *system) ByteTime() time.Duration { return 0 }

func (s *system) listen(name string) error {
	ins, err := s.driver.Ins()
	if err != nil {
		return errNoSystem
	}
	for i, known := range named(ins) {
		if known != name {
			continue
		}
		if err := ins[i].Open(); err != nil {
			return fmt.Errorf("midi:%s cannot be opened; another program may hold it", name)
		}
		s.in = newPipe(1 << 20)
		s.stop, err = ins[i].Listen(s.heard, drivers.ListenConfig{TimeCode: true, ActiveSense: true, SysEx: true, SysExBufferSize: 1 << 20})
		return err
	}
	return noSuch(name, named(ins))
}

func (s *system) heard(message []byte, _ int32) { _, _ = s.in.write(message) } // fails once the port is closed

func (s *system) talk(name string) error {
	outs, err := s.driver.Outs()
	if err != nil {
		return errNoSystem
	}
	for i, known := range named(outs) {
		if known != name {
			continue
		}
		if err := outs[i].Open(); err != nil {
			return fmt.Errorf("midi:%s cannot be opened; another program may hold it", name)
		}
		s.out = outs[i]
		return nil
	}
	return noSuch(name, named(outs))
}

func noSuch(name string, names []string) error {
	return fmt.Errorf("no MIDI port %s; there are: %s", name, strings.Join(names, ", "))
}

func (s *system) Read(p []byte) (int, error) {
	if s.in == nil {
		return 0, io.EOF
	}
	return s.in.read(p)
}

// Write sends the messages that are complete; the rest waits for its end.
func (s *system) Write(p []byte) (int, error) {
	s.split.Feed(p, func(m Message) {
		if s.failed == nil {
			s.failed = s.out.Send(m.Bytes())
		}
	})
	if s.failed != nil {
		return 0, fmt.Errorf("the MIDI port takes no more: %w", s.failed)
	}
	return len(p), nil
}

func (s *system) Close() error {
	if s.stop != nil {
		s.stop()
	}
	if s.in != nil {
		s.in.close()
	}
	return s.driver.Close()
}
