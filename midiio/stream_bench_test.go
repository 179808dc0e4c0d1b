package midiio

import (
	"testing"

	"gitlab.com/gomidi/midi/v2/drivers"
)

// benchmarkStream is what a busy console sends: chords with running status, a
// shoe, clocks.
func benchmarkStream() []byte {
	var e Encoder
	var stream []byte
	for i := range 4000 {
		m := NoteOn(1+i/16%4, byte(36+i%61), byte(i%2*64))
		switch i % 16 {
		case 14:
			m = ControlChange(3, 11, byte(i%128))
		case 15:
			m = Message{Status: 0xF8}
		}
		stream = e.Append(stream, m)
	}
	return stream
}

func BenchmarkTokenizer(b *testing.B) {
	stream := benchmarkStream()
	var t Tokenizer
	sum := 0
	emit := func(m Message) { sum += int(m.A) }
	b.SetBytes(int64(len(stream)))
	b.ReportAllocs()
	for b.Loop() {
		t.Feed(stream, emit)
	}
}

// The reader of the library that writes our files, on the same bytes.
func BenchmarkLibraryReader(b *testing.B) {
	stream := benchmarkStream()
	sum := 0
	b.SetBytes(int64(len(stream)))
	b.ReportAllocs()
	for b.Loop() {
		r := drivers.NewReader(drivers.ListenConfig{TimeCode: true, ActiveSense: true, SysEx: true}, func(m []byte, _ int32) { sum += int(m[len(m)-1]) })
		r.EachMessage(stream, 0)
	}
}
