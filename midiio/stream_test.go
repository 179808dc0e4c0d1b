package midiio

import (
	"cmp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// tokens are the messages of a stream that comes in pieces, each as text.
func tokens(pieces ...[]byte) (texts []string) {
	for _, m := range messages(pieces...) {
		texts = append(texts, m.String())
	}
	return texts
}

func messages(pieces ...[]byte) (list []Message) {
	var t Tokenizer
	keep := func(m Message) { list = append(list, m.Clone()) }
	for _, piece := range pieces {
		t.Feed(piece, keep)
	}
	t.Finish(keep)
	return list
}

// The receiver's rules of MIDI 1.0, and its table of status bytes.
func TestTheReceiversRules(t *testing.T) {
	for name, c := range map[string]struct {
		bytes []byte
		want  []string
	}{
		"every channel message": {
			[]byte{0x80, 60, 64, 0x91, 61, 1, 0xA2, 62, 2, 0xBF, 7, 127, 0xC0, 5, 0xD0, 6, 0xE0, 0, 0x40},
			[]string{"note-off 1 60/C4 64", "note-on 2 61/C#4 1", "key-pressure 3 62/D4 2", "control-change 16 7 127",
				"program-change 1 5", "channel-pressure 1 6", "pitch-bend 1 8192"},
		},
		"every system message": {
			[]byte{0xF1, 0x35, 0xF2, 1, 1, 0xF3, 2, 0xF6, 0xF8, 0xFA, 0xFB, 0xFC, 0xFE, 0xFF},
			[]string{"quarter-frame 53", "song-position 129", "song-select 2", "tune-request",
				"timing-clock", "start", "continue", "stop", "active-sensing", "system-reset"},
		},
		"an identity request (4.6)":                   {[]byte{0xF0, 0x7E, 0x7F, 6, 1, 0xF7}, []string{"sysex 7E 7F 06 01"}},
		"1: data without running status is ignored":   {[]byte{60, 0xC0, 1}, []string{"no-status 3C", "program-change 1 1"}},
		"2: running status":                           {[]byte{0x90, 60, 1, 62, 0, 0xC1, 1, 2}, []string{"note-on 1 60/C4 1", "note-on 1 62/D4 0", "program-change 2 1", "program-change 2 2"}},
		"2: system common clears running status":      {[]byte{0x90, 60, 1, 0xF6, 60}, []string{"note-on 1 60/C4 1", "tune-request", "no-status 3C"}},
		"2: system exclusive clears running status":   {[]byte{0x90, 60, 1, 0xF0, 0xF7, 60}, []string{"note-on 1 60/C4 1", "sysex", "no-status 3C"}},
		"2: real time leaves running status":          {[]byte{0x90, 60, 1, 0xFF, 60, 0}, []string{"note-on 1 60/C4 1", "system-reset", "note-on 1 60/C4 0"}},
		"3: real time within a message":               {[]byte{0x90, 0xF8, 60, 0xFE, 1}, []string{"timing-clock", "active-sensing", "note-on 1 60/C4 1"}},
		"3: real time within system exclusive":        {[]byte{0xF0, 1, 0xF8, 2, 0xF7}, []string{"timing-clock", "sysex 01 02"}},
		"4: a status ends system exclusive":           {[]byte{0xF0, 1, 2, 0x90, 60, 1}, []string{"sysex-cut 01 02", "note-on 1 60/C4 1"}},
		"4: another system exclusive ends the first":  {[]byte{0xF0, 1, 0xF0, 2, 0xF7}, []string{"sysex-cut 01", "sysex 02"}},
		"4: the end of the stream ends it":            {[]byte{0xF0, 1}, []string{"sysex-cut 01"}},
		"5: an end without a beginning":               {[]byte{0x90, 60, 1, 0xF7, 60}, []string{"note-on 1 60/C4 1", "sysex-stray-end", "no-status 3C"}},
		"5: undefined system common clears running":   {[]byte{0x90, 60, 1, 0xF4, 60}, []string{"note-on 1 60/C4 1", "undefined F4", "no-status 3C"}},
		"5: undefined real time clears nothing":       {[]byte{0x90, 60, 0xFD, 1, 60, 0}, []string{"undefined FD", "note-on 1 60/C4 1", "note-on 1 60/C4 0"}},
		"a status cancels an unfinished message":      {[]byte{0x90, 0x3C, 0x80, 0x3C, 0x40}, []string{"unfinished 90 3C", "note-off 1 60/C4 64"}},
		"a status cancels one that runs":              {[]byte{0x90, 60, 1, 61, 0x80, 60, 64}, []string{"note-on 1 60/C4 1", "unfinished 90 3D", "note-off 1 60/C4 64"}},
		"a status cancels one without data":           {[]byte{0x90, 0xC0, 1}, []string{"unfinished 90", "program-change 1 1"}},
		"the end of the stream cancels an open one":   {[]byte{0xF2, 1}, []string{"unfinished F2 01"}},
		"running status that is complete is not open": {[]byte{0x90, 60, 1}, []string{"note-on 1 60/C4 1"}},
	} {
		t.Run(name, func(t *testing.T) { require.Equal(t, c.want, tokens(c.bytes)) })
	}
}

// streams are of bytes as they occur: much running status, and every fault.
var streams = rapid.Custom(func(t *rapid.T) []byte {
	piece := rapid.OneOf(
		rapid.SliceOfN(rapid.ByteMax(0x7F), 0, 6),
		rapid.SliceOfN(rapid.ByteMin(0x80), 1, 2),
		rapid.Custom(func(t *rapid.T) []byte {
			return []byte{rapid.ByteMin(0x80).Draw(t, "status"), rapid.ByteMax(0x7F).Draw(t, "first"), rapid.ByteMax(0x7F).Draw(t, "second")}
		}),
		rapid.Map(rapid.IntRange(held-2, 2*held+2), func(n int) []byte { return append([]byte{0xF0}, make([]byte, n)...) }),
	)
	return slices.Concat(rapid.SliceOfN(piece, 0, 40).Draw(t, "pieces")...)
})

func TestAnySplitOfAnyBytesGivesTheSameMessages(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stream := streams.Draw(t, "stream")
		var pieces [][]byte
		for rest := stream; len(rest) > 0; {
			n := rapid.IntRange(1, len(rest)).Draw(t, "length")
			pieces, rest = append(pieces, rest[:n]), rest[n:]
		}
		require.Equal(t, tokens(stream), tokens(pieces...))
		requireSameByteByByte(t, stream)
	})
}

func requireSameByteByByte(t require.TestingT, stream []byte) {
	var pieces [][]byte
	for i := range stream {
		pieces = append(pieces, stream[i:i+1])
	}
	require.Equal(t, tokens(stream), tokens(pieces...))
}

// What is heard can be said again: every message has bytes and a text that
// mean the same message.
func TestMessagesAreWhatTheirBytesAndTheirTextSay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { requireSameAgain(t, streams.Draw(t, "stream")) })
}

func requireSameAgain(t require.TestingT, stream []byte) {
	heard := messages(stream)
	var running Encoder
	var plain, short []byte
	for _, m := range heard {
		running.Refresh()
		plain = running.Append(plain, m)
	}
	running = Encoder{}
	for _, m := range heard {
		short = running.Append(short, m)
		again, err := ParseMessage(m.String())
		require.NoError(t, err)
		require.Equal(t, m.String(), again.String())
		require.Equal(t, m.Bytes(), again.Bytes())
	}
	require.Equal(t, apart(tokens(stream)), apart(tokens(plain)))
	require.Equal(t, apart(tokens(stream)), apart(tokens(short)))
	require.LessOrEqual(t, len(short), len(stream)+len(heard))
}

// apart puts real time behind the rest: a byte of it that fell within a
// message is heard before that message, and said before it.
func apart(texts []string) []string {
	slices.SortStableFunc(texts, func(a, b string) int {
		return cmp.Compare(strings.Index(realTimeTexts, a), strings.Index(realTimeTexts, b))
	})
	return texts
}

const realTimeTexts = "timing-clock start continue stop active-sensing system-reset undefined F9 undefined FD"

func TestSystemExclusiveOfAnyLengthLosesNothing(t *testing.T) {
	for _, length := range []int{0, 1, held - 1, held, held + 1, 3 * held, 100_000} {
		body := make([]byte, length)
		for i := range body {
			body[i] = byte(i % 128)
		}
		var joined []byte
		heard := messages(SysEx(body).Bytes())
		for i, m := range heard {
			require.LessOrEqual(t, len(m.Body), held)
			joined = append(joined, m.Body...)
			require.Equal(t, len(heard) > 1 && i == 0, m.Kind == Begin)
			require.Equal(t, len(heard) > 1 && i == len(heard)-1, m.Kind == End)
		}
		require.True(t, slices.Equal(body, joined))
	}
}

// A chord of 10 notes is 21 bytes with running status, 30 without; 61 keys
// are 123.
func TestRunningStatusSavesAsManyBytesAsItShould(t *testing.T) {
	for keys, want := range map[byte]int{10: 21, 61: 123} {
		var e Encoder
		var bytes []byte
		for key := range keys {
			bytes = e.Append(bytes, NoteOn(1, 36+key, 64))
		}
		require.Len(t, bytes, want)
	}
}

func TestTheTokenizerAllocatesNothing(t *testing.T) {
	var tokenizer Tokenizer
	stream := slices.Concat(benchmarkStream(), SysEx(make([]byte, 5000)).Bytes(), []byte{60, 0x90, 0xF4})
	count := 0
	emit := func(Message) { count++ }
	require.Zero(t, testing.AllocsPerRun(10, func() { tokenizer.Feed(stream, emit) }))
	require.Positive(t, count)
}

func FuzzTokenizer(f *testing.F) {
	f.Add([]byte{0x90, 0x3C, 0x80, 0x3C, 0x40, 0xF8, 0xF0, 1, 2, 0xF7, 0xF4})
	f.Fuzz(func(t *testing.T, stream []byte) {
		requireSameByteByByte(t, stream)
		requireSameAgain(t, stream)
	})
}
