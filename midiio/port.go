package midiio

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"
)

// Port carries the bytes of MIDI. Read waits for at least one byte; io.EOF
// means that there will be no more. Close ends a Read that waits.
type Port interface {
	io.ReadWriteCloser
	// ByteTime is how long a byte takes on the line, 0 where that is unknown.
	ByteTime() time.Duration
}

// Direction is what a port is opened for.
type Direction int

const (
	In Direction = iota
	Out
)

// Form is a form that names of ports have.
type Form struct {
	Name string // with the part to fill in in capitals
	What string
}

// Forms are all of them.
var Forms = []Form{
	{"serial:DEVICE", "a serial line at 31,250 baud"},
	{"serial:DEVICE@BAUD", "a serial line at another rate"},
	{"pty:LINK", "a pseudo-terminal for another program, which finds it by the link"},
	{"file:PATH", "the bytes of a file or a raw MIDI device"},
	{"network:HOST:PORT", "a session with a computer or device on the network (RTP-MIDI), which is invited"},
	{"network-listen:PORT", "such a session that programs of this computer may join"},
	{"network-listen:ADDRESS:PORT@PEER", "one at an address of this computer that PEER may join, or PEER,PEER"},
	{"midi:NAME", "a MIDI port of the system; midi:NAME#2 is the second of that name"},
	{"raw:NAME", "a MIDI device of Linux, past its sequencer; no other program can use it meanwhile"},
	{"own:NAME", "a MIDI port that other programs find by the name and connect (Linux)"},
}

// Open opens a port by its name, which has one of the Forms.
func Open(name string, direction Direction) (Port, error) {
	kind, rest, found := strings.Cut(name, ":")
	if found && rest != "" {
		switch kind {
		case "serial":
			return openSerial(rest)
		case "pty":
			return openPTY(rest)
		case "file":
			return openFile(rest, direction)
		case "midi":
			return openMIDI(rest, direction)
		case "network":
			return openNetwork(rest)
		case "network-listen":
			return openListener(rest, direction)
		case "raw":
			return openRaw(rest, direction)
		case "own":
			return openOwn(rest, direction)
		}
	}
	if strings.HasPrefix(name, "/") {
		return nil, fmt.Errorf("no port %s; write serial:%s for a serial line, file:%s for a file or a raw MIDI device", name, name, name)
	}
	var forms []string
	for _, f := range Forms {
		forms = append(forms, f.Name)
	}
	return nil, fmt.Errorf("no port %s; a port is %s", name, strings.Join(forms, ", "))
}

// Listed is a port that is there.
type Listed struct {
	Name    string
	In, Out bool
}

// Ports lists the ports that are there, those of the system first, and why
// some could not be listed.
func Ports() ([]Listed, error) {
	list, err := midiPorts()
	raw, rawErr := rawDevices()
	serial, serialErr := serialPorts()
	return slices.Concat(list, raw, serial), errors.Join(err, rawErr, serialErr)
}

// ByteTime is how long a byte of 10 bits takes at a rate.
func ByteTime(baud int) time.Duration { return 10 * time.Second / time.Duration(baud) }

// ParseBaud reads a rate of a line.
func ParseBaud(text string) (int, error) {
	baud, err := strconv.Atoi(text)
	if err != nil || baud < 50 || baud > 4_000_000 {
		return 0, fmt.Errorf("%q is no rate of a line: it is from 50 to 4000000 baud, on a MIDI cable 31250", text)
	}
	return baud, nil
}

// Pair is two ports in memory: what is written to one is read from the other.
// Each direction holds so many bytes; a writer waits when they are there.
func Pair(size int) (Port, Port) {
	there, back := newPipe(size), newPipe(size)
	return &memory{in: back, out: there}, &memory{in: there, out: back}
}

type memory struct{ in, out *pipe }

func (m *memory) Read(p []byte) (int, error)  { return m.in.read(p) }
func (m *memory) Write(p []byte) (int, error) { return m.out.write(p) }
func (m *memory) ByteTime() time.Duration     { return 0 }

func (m *memory) Close() error {
	m.in.close()
	m.out.close()
	return nil
}

// pipe is one direction of a pair.
type pipe struct {
	mu      sync.Mutex
	changed *sync.Cond
	bytes   []byte
	size    int
	closed  bool
}

func newPipe(size int) *pipe {
	p := &pipe{size: size}
	p.changed = sync.NewCond(&p.mu)
	return p
}

func (p *pipe) read(to []byte) (int, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for len(p.bytes) == 0 {
		if p.closed {
			return 0, io.EOF
		}
		p.changed.Wait()
	}
	n := copy(to, p.bytes)
	p.bytes = p.bytes[n:]
	p.changed.Broadcast()
	return n, nil
}

func (p *pipe) write(from []byte) (n int, err error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for n < len(from) {
		for len(p.bytes) >= p.size && !p.closed {
			p.changed.Wait()
		}
		if p.closed {
			return n, io.ErrClosedPipe
		}
		part := min(len(from)-n, p.size-len(p.bytes))
		p.bytes = append(p.bytes, from[n:n+part]...)
		n += part
		p.changed.Broadcast()
	}
	return n, nil
}

func (p *pipe) close() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.closed = true
	p.changed.Broadcast()
}
