package alsa

import (
	"errors"
	"fmt"
	"os"
	"time"

	"golang.org/x/sys/unix"
)

// sequencerPath is the kernel's sequencer.
const sequencerPath = "/dev/snd/seq"

// poolSize is how many events wait for us at most: the kernel's limit.
const poolSize = 2000

// patience is how long a receiver that takes nothing is waited for.
const patience = time.Second

// Abilities of ports (SNDRV_SEQ_PORT_CAP_...).
const (
	canRead      = 1 << 0
	canWrite     = 1 << 1
	readShared   = 1 << 5
	writeShared  = 1 << 6
	notForOthers = 1 << 7
)

// Types of ports (SNDRV_SEQ_PORT_TYPE_...).
const genericApplication = 1<<1 | 1<<17 | 1<<20

// clientInfo is struct snd_seq_client_info.
type clientInfo struct {
	client int32
	kind   int32 // 1: a program, 2: the kernel, for a device
	name   [64]byte
	_      [116]byte
}

// portInfo is struct snd_seq_port_info.
type portInfo struct {
	address   Address
	name      [64]byte
	_         [2]byte
	abilities uint32
	kind      uint32
	channels  int32
	_         [4]int32
	_         uintptr
	_         [64]byte
}

// connection is struct snd_seq_port_subscribe.
type connection struct {
	from, to Address
	_        [76]byte
}

// pool is struct snd_seq_client_pool.
type pool struct {
	client, out, in, outRoom int32
	_, inFree                int32
	_                        [64]byte
}

// Sequencer is a client of the kernel's sequencer with one port. One goroutine
// may use it, to receive or to send; another may close it.
type Sequencer struct {
	Address Address
	file    *os.File
	buffer  []byte
	unread  []byte // of the buffer
	midi    []byte
	out     []byte
	program int32 // that is sent to, -1: none
	room    int   // for how many events of ours it has room at least
	gone    chan struct{}
}

// OpenSequencer makes a client with one port, each of at most 63 bytes of name.
// Other programs see it if it sends or takes, and may connect it then.
func OpenSequencer(client, port string, sends, takes bool) (*Sequencer, error) {
	file, err := os.OpenFile(sequencerPath, os.O_RDWR|unix.O_NONBLOCK, 0)
	if err != nil {
		return nil, fmt.Errorf("%s cannot be opened: %w", sequencerPath, reason(err))
	}
	s := &Sequencer{file: file, buffer: make([]byte, 1<<16), program: -1}
	abilities := uint32(canRead | canWrite | notForOthers)
	switch {
	case sends:
		abilities = canRead | readShared
	case takes:
		abilities = canWrite | writeShared
	}
	if err := s.begin(client, port, abilities); err != nil {
		return nil, errors.Join(fmt.Errorf("the sequencer refuses a port: %w", err), file.Close())
	}
	return s, nil
}

func (s *Sequencer) begin(client, port string, abilities uint32) error {
	var number int32
	if err := ask(s.file, clientID, &number); err != nil {
		return err
	}
	info := clientInfo{client: number}
	if err := ask(s.file, getClient, &info); err != nil {
		return err
	}
	info.name = name(client)
	if err := ask(s.file, setClient, &info); err != nil {
		return err
	}
	if err := ask(s.file, setPool, &pool{client: number, out: 500, in: poolSize, outRoom: 250}); err != nil {
		return err
	}
	ours := portInfo{address: Address{Client: uint8(number)}, name: name(port), abilities: abilities, kind: genericApplication, channels: 16}
	if err := ask(s.file, createPort, &ours); err != nil {
		return err
	}
	s.Address = ours.address
	return nil
}

// name is a name as the kernel has it: ended by a zero.
func name(text string) (name [64]byte) {
	copy(name[:63], text)
	return name
}

// Listen has all that a port sends come to ours.
func (s *Sequencer) Listen(from Port) error {
	return s.connect(connection{from: from.Address, to: s.Address}, from, false)
}

// Talk has all that we send go to a port, see Gone.
func (s *Sequencer) Talk(to Port) error {
	if !to.Device {
		s.program = int32(to.Address.Client)
	}
	if err := s.connect(connection{from: s.Address, to: to.Address}, to, true); err != nil {
		return err
	}
	s.gone = make(chan struct{})
	go s.stay()
	return nil
}

// stay waits until the port that we talk to goes away, or we are closed. Nothing
// else comes, so nothing is lost.
func (s *Sequencer) stay() {
	for {
		heard, err := s.Receive()
		if err != nil {
			return
		}
		if heard.Left {
			close(s.gone)
			return
		}
	}
}

// Gone is closed when the port that we Talk to goes away.
func (s *Sequencer) Gone() <-chan struct{} { return s.gone }

// connect connects our port with one that may be that of a device which a
// program has opened past the sequencer.
func (s *Sequencer) connect(c connection, port Port, write bool) error {
	err := ask(s.file, subscribePort, &c)
	if errors.Is(err, unix.EAGAIN) || errors.Is(err, unix.EBUSY) {
		return takenFrom(port, write)
	}
	if err != nil {
		return fmt.Errorf("the sequencer does not connect it: %w", reason(err))
	}
	return nil
}

// Heard is what came from one port: bytes of MIDI, or the news that the port
// is not connected any more.
type Heard struct {
	From  Address
	Bytes []byte // good until the next call
	Left  bool
}

// Receive waits for MIDI, and for the end of a connection. A LostError is no
// end: what comes next can be received.
func (s *Sequencer) Receive() (Heard, error) {
	for {
		e, err := s.next()
		if err != nil {
			return Heard{}, err
		}
		if from, left := s.left(e); left {
			return Heard{From: from, Left: true}, nil
		}
		s.midi = e.appendMIDI(s.midi[:0])
		if len(s.midi) > 0 {
			return Heard{From: e.Source, Bytes: s.midi}, nil
		}
	}
}

// left is the port that an event says is connected no more.
func (s *Sequencer) left(e event) (Address, bool) {
	from, to := Address{e.Data[0], e.Data[1]}, Address{e.Data[2], e.Data[3]}
	if e.Type != unsubscribed {
		return Address{}, false
	}
	if from == s.Address {
		return to, true
	}
	return from, true
}

// next waits for the next event.
func (s *Sequencer) next() (e event, err error) {
	if len(s.unread) == 0 {
		raw, err := s.file.SyscallConn()
		if err != nil {
			return event{}, reason(err)
		}
		var n int
		var failed error
		err = raw.Read(func(fd uintptr) bool {
			n, failed = unix.Read(int(fd), s.buffer)
			return failed != unix.EAGAIN
		})
		switch {
		case err != nil:
			return event{}, err
		case failed == unix.ENOSPC:
			return event{}, LostError{} // the kernel has emptied the whole queue
		case failed != nil:
			return event{}, reason(failed)
		}
		s.unread = s.buffer[:n]
	}
	e, s.unread, err = nextEvent(s.unread)
	return e, err
}

// Send sends a message to whoever is connected. The message has its status
// byte; of system exclusive it may be a part. The error is ErrGone when the port
// that we Talk to has gone, a LostError when a receiver had no room. A program
// that we Talk to is waited for until it has.
func (s *Sequencer) Send(message []byte) error {
	var err error
	if s.out, err = appendEvents(s.out[:0], s.Address.Port, message); err != nil {
		return err
	}
	select {
	case <-s.gone:
		return ErrGone
	default:
	}
	s.await(len(s.out)/eventSize + 1)
	raw, err := s.file.SyscallConn()
	if err != nil {
		return reason(err)
	}
	var failed error
	err = raw.Control(func(fd uintptr) {
		for len(s.out) > 0 && failed == nil {
			var n int
			n, failed = unix.Write(int(fd), s.out)
			s.out = s.out[max(0, n):]
		}
	})
	switch {
	case err != nil:
		return err
	case failed == unix.EAGAIN, failed == unix.ENOMEM:
		return LostError{}
	}
	return reason(failed)
}

// await waits until the program that is sent to has room for events. When that
// overflows, the kernel takes from it all that waits.
func (s *Sequencer) await(events int) {
	s.room -= events
	for end := time.Now().Add(patience); s.program >= 0 && s.room < 0 && time.Now().Before(end); time.Sleep(time.Millisecond) {
		theirs := pool{client: s.program}
		if ask(s.file, getPool, &theirs) != nil {
			return // it has gone
		}
		s.room = int(theirs.inFree) - events
	}
}

// Close takes the client away, with its connections.
func (s *Sequencer) Close() error { return s.file.Close() }
