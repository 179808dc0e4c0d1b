package midiio

import (
	"net/url"
	"os"
	"path/filepath"
)

// ledger says which keys may sound at a port, and keeps that in a file: a bit
// for each key of each channel. A key is in it before it is sent, and until its
// end is, so when the program is killed the next one knows what to silence.
// Nothing is synced: the file need only outlive the program. The zero value
// has no file.
type ledger struct {
	file  *os.File
	known keyBits // what may sound, and the file holds
	keys  Keys    // what was sent
	moved bool    // keys, since known was made of them
	split Tokenizer
}

type keyBits [16 * 128 / 8]byte

// openLedger opens that of a port, and tells what an earlier program left in
// it. It has no file where nothing can be kept, or while another program of
// ours has that.
func openLedger(port string) (*ledger, Keys) {
	cache, err := os.UserCacheDir()
	if err != nil {
		return &ledger{}, Keys{}
	}
	dir := filepath.Join(cache, "trundle", "held")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return &ledger{}, Keys{}
	}
	path := filepath.Join(dir, url.QueryEscape(port))
	file, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o644)
	if err != nil {
		return &ledger{}, Keys{}
	}
	locked := lockFile(file) == nil
	opened, _ := file.Stat()
	if there, err := os.Stat(path); !locked || err != nil || !os.SameFile(opened, there) {
		_ = file.Close()
		return &ledger{}, Keys{}
	}
	l := &ledger{file: file}
	_, _ = file.ReadAt(l.known[:], 0) // a new one is empty
	l.keys = l.known.keys()
	return l, l.keys
}

// write writes bytes to the port: what they begin is in the file before, and
// what they end only after.
func (l *ledger) write(port Port, bytes []byte, isKey func(Message) bool) error {
	began := l.known
	l.split.Feed(bytes, func(m Message) {
		if !keyOrNoNote(m, isKey) {
			return
		}
		l.keys.Hear(m)
		l.moved = l.moved || m.StartsNote() || m.releases()
		if m.StartsNote() {
			began.set(m.Channel()-1, int(m.A))
		}
	})
	l.note(began)
	_, err := port.Write(bytes)
	if err == nil && l.moved {
		l.note(bitsOf(&l.keys))
		l.moved = false
	}
	return err
}

// note has the file hold what is given.
func (l *ledger) note(bits keyBits) {
	if bits != l.known {
		l.known = bits
		if l.file != nil {
			_, _ = l.file.WriteAt(bits[:], 0) // a full disk must not keep music back
		}
	}
}

// mayBeOn are the keys that may sound at a port that has gone away, which forgets
// what was written in part.
func (l *ledger) mayBeOn() Keys {
	l.split = Tokenizer{}
	return l.known.keys()
}

// close takes the file away once nothing is left in it.
func (l *ledger) close() {
	if l.file == nil {
		return
	}
	if l.known == (keyBits{}) {
		_ = os.Remove(l.file.Name()) // some systems keep a file that is open
	}
	_ = l.file.Close()
}

func (b *keyBits) set(channel, key int) { b[channel*16+key/8] |= 1 << (key % 8) }

func bitsOf(k *Keys) (bits keyBits) {
	for channel := range k.held {
		for key, held := range k.held[channel] {
			if held {
				bits.set(channel, key)
			}
		}
	}
	return bits
}

func (b *keyBits) keys() (k Keys) {
	for i, eight := range b {
		for bit := range 8 {
			if eight>>bit&1 == 1 {
				k.Hear(NoteOn(i/16+1, byte(i%16*8+bit), 1))
			}
		}
	}
	return k
}
