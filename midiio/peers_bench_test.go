package midiio

import (
	"encoding/hex"
	"testing"
	"time"

	"gitlab.com/gomidi/midi/v2/drivers"
)

// BenchmarkTokenizerBesideOthers reads the same stream by our tokenizer, by
// gomidi's reader and by mido, in one run, and says how many times as fast ours
// is. A status byte stands before each message, since mido knows no running
// status.
func BenchmarkTokenizerBesideOthers(b *testing.B) {
	var stream []byte
	for _, m := range messages(benchmarkStream()) {
		stream = append(stream, m.Bytes()...)
	}
	sum := 0
	var ours Tokenizer
	emit := func(m Message) { sum += int(m.A) }
	theirs := drivers.NewReader(drivers.ListenConfig{TimeCode: true, ActiveSense: true, SysEx: true}, func(m []byte, _ int32) { sum += int(m[len(m)-1]) })
	for b.Loop() {
		fast := perSecond(stream, func() { ours.Feed(stream, emit) })
		library := perSecond(stream, func() { theirs.EachMessage(stream, 0) })
		var slow float64
		mido(b, `import json, mido, sys, time
stream = bytes.fromhex(json.load(sys.stdin))
count, start = 0, time.perf_counter()
while time.perf_counter() - start < 1:
    mido.parse_all(stream)
    count += 1
json.dump(count * len(stream) / (time.perf_counter() - start), sys.stdout)`, hex.EncodeToString(stream), &slow)
		b.ReportMetric(fast/1e6, "MB/s")
		b.ReportMetric(fast/library, "x-gomidi")
		b.ReportMetric(fast/slow, "x-mido")
	}
}

// perSecond is how many bytes of a stream are read in a second.
func perSecond(stream []byte, read func()) float64 {
	count, start := 0, time.Now()
	for time.Since(start) < time.Second {
		read()
		count++
	}
	return float64(count*len(stream)) / time.Since(start).Seconds()
}
