// Package alsa reaches the MIDI devices of Linux by the kernel's own interface,
// without a C library: raw devices, each of which one program has to itself,
// and the sequencer, which connects the ports of programs and devices. It
// carries bytes and knows nothing of what they mean but where a message ends.
//
// It queues nothing and gives nothing a time: messages go at once. It does not
// take apart what several senders say to one port: system exclusive of one is cut
// by what another says meanwhile. It is at home where ioctl numbers are those of
// PCs and ARM.
//
// Layouts and numbers are those of the kernel's headers sound/asound.h and
// sound/asequencer.h (protocols 2.0 and 1.0, Linux 2.6 and later). On other
// systems only the events are there.
package alsa

import (
	"errors"
	"fmt"
)

// Address is a port of the sequencer.
type Address struct{ Client, Port uint8 }

// ErrGone is the error of a device that was unplugged, and of a connection that
// was undone.
var ErrGone = errors.New("it was unplugged or disconnected")

// LostError tells of what the kernel lost because it came faster than it was
// taken. What is read next comes after it.
type LostError struct{ Bytes int } // 0: nobody counted

func (e LostError) Error() string {
	if e.Bytes == 0 {
		return "messages were lost: they came faster than they were taken"
	}
	return fmt.Sprintf("%d bytes were lost: they came faster than they were taken", e.Bytes)
}
