package alsa

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"

	"golang.org/x/sys/unix"
)

// rawBuffer is how many bytes of a raw device the kernel keeps for us.
const rawBuffer = 1 << 16

// info is struct snd_rawmidi_info.
type info struct {
	device, subdevice uint32
	stream            int32 // 0: output, 1: input
	_                 [72]byte
	name              [80]byte
	subname           [32]byte
	count             uint32 // of subdevices
	_                 [68]byte
}

// params is struct snd_rawmidi_params.
type params struct {
	stream int32
	buffer uintptr
	wake   uintptr // how many bytes wake a reader
	_      [5]uint32
}

// status is struct snd_rawmidi_status.
type status struct {
	stream int32
	_      int32
	_      [2]int64
	avail  uintptr
	lost   uintptr // bytes since the last time
	_      [16]byte
}

// Device is a raw device, or one of the subdevices of one.
type Device struct {
	Card, Device int
	Subdevice    int // -1: whichever is free
	Name         string
	Sends, Takes bool
}

// Devices are the raw devices of all cards, and why some cannot be listed.
func Devices() (list []Device, err error) {
	paths, _ := filepath.Glob("/dev/snd/controlC*") // the pattern is good
	for _, path := range paths {
		var card int
		if _, err := fmt.Sscanf(filepath.Base(path), "controlC%d", &card); err != nil {
			continue
		}
		f, failed := os.OpenFile(path, os.O_RDONLY|unix.O_NONBLOCK, 0)
		if failed != nil {
			if !errors.Is(reason(failed), ErrGone) {
				err = fmt.Errorf("%s cannot be opened: %w", path, reason(failed))
			}
			continue
		}
		list = append(list, devicesOf(f, card)...)
		_ = f.Close() // it was only read
	}
	return list, err
}

// devicesOf are the raw devices of a card.
func devicesOf(f *os.File, card int) (list []Device) {
	for number := int32(-1); ask(f, nextRaw, &number) == nil && number >= 0; {
		for sub, count := uint32(0), uint32(1); sub < count; sub++ {
			out := info{device: uint32(number), subdevice: sub}
			in := info{device: uint32(number), subdevice: sub, stream: 1}
			takes, sends := ask(f, rawOfCard, &out) == nil, ask(f, rawOfCard, &in) == nil
			one := in
			if !sends {
				one = out
			}
			d := Device{card, int(number), int(sub), text(one.subname[:]), sends, takes}
			if d.Name == "" { // subdevices without names are alike
				d.Name, d.Subdevice = text(one.name[:]), -1
				list = append(list, d)
				break
			}
			list = append(list, d)
			count = max(in.count, out.count)
		}
	}
	return list
}

// Raw is an open raw device. One goroutine may use it; another may close it.
type Raw struct {
	file   *os.File
	buffer []byte // nil for one that is written to
	unread []byte // of the buffer
	lost   int    // bytes, behind what is unread
	gone   chan struct{}
}

// OpenRaw opens a device to read, or to write. One that another program has is
// an error at once.
func OpenRaw(d Device, write bool) (*Raw, error) {
	// The kernel keeps which subdevice is meant with the thread.
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	if d.Subdevice >= 0 {
		f, err := os.OpenFile(fmt.Sprintf("/dev/snd/controlC%d", d.Card), os.O_RDWR|unix.O_NONBLOCK, 0)
		if err != nil {
			return nil, reason(err)
		}
		defer f.Close()
		sub := int32(d.Subdevice)
		if err := ask(f, preferRawSub, &sub); err != nil {
			return nil, reason(err)
		}
	}
	mode := os.O_RDONLY
	if write {
		mode = os.O_WRONLY
	}
	file, err := os.OpenFile(fmt.Sprintf("/dev/snd/midiC%dD%d", d.Card, d.Device), mode|unix.O_NONBLOCK, 0)
	if errors.Is(err, unix.EBUSY) {
		return nil, taken(d, write)
	}
	if err != nil {
		return nil, reason(err)
	}
	r := &Raw{file: file, gone: make(chan struct{})}
	if write {
		go r.stay()
		return r, nil
	}
	if err := ask(file, rawParams, &params{stream: 1, buffer: rawBuffer, wake: 1}); err != nil {
		return nil, errors.Join(reason(err), file.Close())
	}
	// The kernel drops what comes before a device is asked for the first time.
	if err := look(file); err != nil {
		return nil, errors.Join(err, file.Close())
	}
	r.buffer = make([]byte, rawBuffer)
	return r, nil
}

// look asks whether there is something to read, and does not wait.
func look(file *os.File) error {
	raw, err := file.SyscallConn()
	if err != nil {
		return err
	}
	return raw.Control(func(fd uintptr) {
		_, _ = unix.Poll([]unix.PollFd{{Fd: int32(fd), Events: unix.POLLIN}}, 0) // what is wrong the first read tells
	})
}

// Read waits for bytes. A LostError is no end: what comes next can be read.
func (r *Raw) Read(p []byte) (int, error) {
	if len(r.unread) == 0 {
		if r.lost > 0 {
			lost := r.lost
			r.lost = 0
			return 0, LostError{lost}
		}
		n, err := r.file.Read(r.buffer)
		if errors.Is(err, io.EOF) {
			err = ErrGone
		}
		if err != nil {
			return 0, reason(err)
		}
		r.unread = r.buffer[:n]
		// What was lost came when all that has just been read was waiting.
		s := status{stream: 1}
		if ask(r.file, rawStatus, &s) == nil { // it fails when the device has gone, which the next read tells
			r.lost = int(s.lost)
		}
	}
	n := copy(p, r.unread)
	r.unread = r.unread[n:]
	return n, nil
}

// Write waits until the kernel has room for all.
func (r *Raw) Write(p []byte) (int, error) {
	n, err := r.file.Write(p)
	if err != nil {
		err = reason(err)
	}
	return n, err
}

// Gone is closed when a device that is written to goes away.
func (r *Raw) Gone() <-chan struct{} { return r.gone }

// stay waits until the device goes away, or is closed.
func (r *Raw) stay() {
	raw, err := r.file.SyscallConn()
	if err != nil {
		return
	}
	err = raw.Read(func(fd uintptr) bool {
		polled := []unix.PollFd{{Fd: int32(fd)}}
		n, err := unix.Poll(polled, 0)
		return err == nil && n > 0 && polled[0].Revents&unix.POLLERR != 0
	})
	if err == nil {
		close(r.gone)
	}
}

// Close gives the device back. It waits until what was written has left, 10
// seconds at most.
func (r *Raw) Close() error { return r.file.Close() }
