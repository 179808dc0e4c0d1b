//go:build rtmidi

package midiio

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"gitlab.com/gomidi/midi/v2/drivers"
	"gitlab.com/gomidi/midi/v2/drivers/rtmididrv"
	"gitlab.com/gomidi/midi/v2/drivers/rtmididrv/imported/rtmidi"
)

// errNoSystem stands for the driver's own text, which without a sequencer is
// not even text.
var errNoSystem = errors.New("the system has no MIDI ports to offer: is its MIDI service running?")

var errGone = errors.New("the system lists the port no more")

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

// named are the names of ports, none of them twice.
func named[P drivers.Port](ports []P) []string {
	names := make([]string, len(ports))
	for i, p := range ports {
		names[i] = p.String()
	}
	return numbered(names)
}

func openMIDI(name string, direction Direction) (Port, error) {
	driver, err := rtmididrv.New()
	if err != nil {
		return nil, errNoSystem
	}
	p := &system{driver: driver, closed: make(chan struct{})}
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
	gone   atomic.Bool
	closed chan struct{}
	once   sync.Once
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
	i, err := pick("midi", name, named(ins))
	if err != nil {
		return err
	}
	if err := ins[i].Open(); err != nil {
		return fmt.Errorf("midi:%s cannot be opened; another program may hold it", name)
	}
	s.in = newPipe(1 << 20)
	s.stop, err = ins[i].Listen(s.heard, drivers.ListenConfig{TimeCode: true, ActiveSense: true, SysEx: true, SysExBufferSize: 1 << 20})
	if err == nil {
		go s.watch(named(ins)[i])
	}
	return err
}

// watch sees every second whether the port is listed still: the driver does not
// tell of one that is unplugged.
func (s *system) watch(name string) {
	list, err := rtmidi.NewMIDIInDefault()
	if err != nil {
		return
	}
	defer list.Destroy()
	tick := time.NewTicker(time.Second)
	defer tick.Stop()
	for {
		select {
		case <-tick.C:
		case <-s.closed:
			return
		}
		n, err := list.PortCount()
		names := make([]string, n)
		for i := range names {
			names[i], _ = list.PortName(i) // empty: not the one
		}
		if err == nil && !slices.Contains(numbered(names), name) {
			s.gone.Store(true)
			s.in.close()
			return
		}
	}
}

func (s *system) heard(message []byte, _ int32) { _, _ = s.in.write(message) } // fails once the port is closed

func (s *system) talk(name string) error {
	outs, err := s.driver.Outs()
	if err != nil {
		return errNoSystem
	}
	i, err := pick("midi", name, named(outs))
	if err != nil {
		return err
	}
	if err := outs[i].Open(); err != nil {
		return fmt.Errorf("midi:%s cannot be opened; another program may hold it", name)
	}
	s.out = outs[i]
	return nil
}

func (s *system) Read(p []byte) (int, error) {
	if s.in == nil {
		return 0, io.EOF
	}
	n, err := s.in.read(p)
	if err != nil && s.gone.Load() {
		err = errGone
	}
	return n, err
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
	s.once.Do(func() { close(s.closed) })
	if s.stop != nil {
		s.stop()
	}
	if s.in != nil {
		s.in.close()
	}
	return s.driver.Close()
}
