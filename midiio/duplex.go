package midiio

import (
	"errors"
	"io"
	"strings"
	"sync"
	"time"
)

// ListenAndTalk is ListenTo and TalkTo at once. Under one name for both, a port
// that only one can have open is opened once.
func ListenAndTalk(in, out string, byteTime time.Duration, clock Clock) (*Input, *Output, error) {
	if in != out || !onlyOnce(in) {
		input, err := ListenTo(in, clock)
		if err != nil {
			return nil, nil, err
		}
		output, err := TalkTo(out, byteTime, clock)
		if err != nil {
			return nil, nil, errors.Join(err, input.Close())
		}
		return input, output, nil
	}
	d := &duplex{name: in}
	read, err := d.open(In)
	if err != nil {
		return nil, nil, err
	}
	written, err := d.open(Out)
	if err != nil {
		return nil, nil, errors.Join(err, read.Close())
	}
	reopen := func(direction Direction) func() (Port, error) {
		if !returns(in, read) {
			return nil
		}
		return func() (Port, error) { return d.open(direction) }
	}
	if byteTime == 0 {
		byteTime = written.ByteTime()
	}
	ledger, left := openLedger(out)
	output := talk(written, byteTime, clock, ledger, left)
	output.reopen = reopen(Out)
	return listen(read, reopen(In), clock), output, nil
}

// onlyOnce reports a name whose port cannot be opened twice.
func onlyOnce(name string) bool {
	kind, _, _ := strings.Cut(name, ":")
	return kind == "serial" || kind == "pty" || kind == "network" || kind == "network-listen"
}

// duplex opens a port once for both directions.
type duplex struct {
	name string
	mu   sync.Mutex
	port *pump // the one that was opened last
}

// open is a direction of the port: of the one that is there, unless that has
// gone away or the direction of it is taken.
func (d *duplex) open(direction Direction) (Port, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.port == nil || !d.port.take(direction) {
		port, err := Open(d.name, Out)
		if err != nil {
			return nil, err
		}
		d.port = &pump{Port: port, read: newPipe(queueSize)}
		d.port.take(direction)
		go d.port.run()
	}
	return &half{d.port, direction}, nil
}

// pump reads a port that two have open, so that one of them can leave off.
type pump struct {
	Port
	read *pipe

	mu    sync.Mutex
	taken [2]bool
	open  int
	gone  error
}

func (p *pump) run() {
	buffer := make([]byte, queueSize/2)
	for {
		n, err := p.Port.Read(buffer)
		if n > 0 {
			_, _ = p.read.write(buffer[:n]) // nobody reads on when it is closed
		}
		if err != nil {
			p.mu.Lock()
			p.gone = err
			p.mu.Unlock()
			p.read.close()
			return
		}
	}
}

func (p *pump) take(direction Direction) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.gone != nil || p.taken[direction] {
		return false
	}
	p.taken[direction] = true
	p.open++
	return true
}

func (p *pump) why() error {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.gone
}

// half is one direction of a port that is open for both.
type half struct {
	*pump
	direction Direction
}

func (h *half) Read(b []byte) (int, error) {
	n, err := h.read.read(b)
	if gone := h.why(); err == io.EOF && gone != nil {
		err = gone
	}
	return n, err
}

func (h *half) Write(b []byte) (int, error) {
	if gone := h.why(); gone != nil {
		return 0, gone
	}
	return h.Port.Write(b)
}

// Close ends a Read that waits, and closes the port when the other direction is
// closed too.
func (h *half) Close() error {
	if h.direction == In {
		h.read.close()
	}
	h.mu.Lock()
	h.open--
	last := h.open == 0
	h.mu.Unlock()
	if last {
		return h.Port.Close()
	}
	return nil
}

// networkOf is the network session that a port is; nil for any other.
func networkOf(port Port) *Network {
	if h, ok := port.(*half); ok {
		port = h.Port
	}
	n, _ := port.(*Network)
	return n
}
