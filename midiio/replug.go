package midiio

import (
	"errors"
	"strings"
	"time"
)

// lookAgain is how often a port that has gone away is looked for.
const lookAgain = 250 * time.Millisecond

// errAway is that of an output that is closed while its port is away.
var errAway = errors.New("the port went away and is not back: notes may be left sounding")

// returns reports a port that may go away and be there again under its name: a
// device. A file ends, and a pseudo-terminal is our own.
func returns(name string, port Port) bool {
	if file, ok := port.(stream); ok {
		return file.device
	}
	return !strings.HasPrefix(name, "pty:")
}

// goneOf is closed when a port goes away to which nothing is sent; nil for one
// that tells only a writer.
func goneOf(port Port) <-chan struct{} {
	if teller, ok := port.(interface{ Gone() <-chan struct{} }); ok {
		return teller.Gone()
	}
	return nil
}

// fullName is the name by which to look for a port again that was named in part:
// another may have that part by then.
func fullName(name string, port Port) string {
	if named, ok := port.(interface{ FullName() string }); ok {
		return named.FullName()
	}
	return name
}

// again opens a port as soon as it is there; it is nil when closed comes first.
// Opening may take a while, where another computer has to answer.
func again(open func() (Port, error), closed <-chan struct{}) Port {
	for {
		select {
		case <-time.After(lookAgain):
		case <-closed:
			return nil
		}
		opened := make(chan Port, 1)
		go func() {
			port, err := open()
			if err != nil {
				port = nil
			}
			opened <- port
		}()
		select {
		case port := <-opened:
			if port != nil {
				return port
			}
		case <-closed:
			go func() {
				if port := <-opened; port != nil {
					_ = port.Close()
				}
			}()
			return nil
		}
	}
}

// Return has an output look for its port by its name when that goes away, and
// tells of it: why it went, and nil when it is there again. Then every key that
// was held is released, and what stood before and was sent meanwhile is sent:
// controllers, programs, bends, but no keys.
func (o *Output) Return(name string, tell func(gone error)) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if returns(name, o.port) {
		o.open, o.tell = o.reopen, tell
		if o.open == nil {
			name = fullName(name, o.port)
			o.open = func() (Port, error) { return openOut(name) }
		}
	}
}

// await waits until a port that went away is back, or the output is closed.
func (o *Output) await(gone error) {
	o.mu.Lock()
	o.link = Link{ByteTime: o.link.ByteTime, Whole: o.link.Whole, free: o.clock(), waiting: queue{dropped: o.link.waiting.dropped, skip: true}}
	before := o.ledger.mayBeOn()
	_ = o.port.Close()
	o.mu.Unlock()
	o.tell(gone)
	if port := again(o.open, o.closed); port != nil && o.resume(port, before) {
		o.tell(nil)
	}
}

// resume goes on with a port that is back, where keys may be on, and reports
// false when the output was closed meanwhile.
func (o *Output) resume(port Port, before Keys) bool {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.isClosed() {
		_ = port.Close()
		return false
	}
	before.add(o.keys)
	o.port, o.away, o.keys = port, false, Keys{used: o.keys.used}
	for _, m := range append(before.Silence(), o.standing.messages()...) {
		o.link.Send(o.clock(), m)
	}
	return true
}
