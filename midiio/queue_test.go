package midiio

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A reader that never comes: what it finds in the end leaves no key held that
// the sender had released.
func TestAFullQueueLosesNoEndOfANote(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seed := rapid.Uint32().Draw(t, "seed")
		ons := rapid.IntRange(1, 10).Draw(t, "of ten that begin a note")
		var q queue
		var sent, kept Keys
		count := queueSize + rapid.IntRange(1, 3*queueSize).Draw(t, "too many")
		for range count {
			seed = seed*1664525 + 1013904223
			m := NoteOff(1+int(seed>>28), byte(seed>>20)&0x7F)
			switch r := int(seed>>8) % 100; {
			case r == 0:
				m = ControlChange(1+int(seed>>28), AllNotesOff, 0)
			case r < 10*ons:
				m = NoteOn(1+int(seed>>28), byte(seed>>20)&0x7F, 64)
			}
			sent.Hear(m)
			q.put(Timed{0, m})
		}
		require.LessOrEqual(t, len(q.list), queueSize+roomForEnds)
		for _, each := range q.list {
			kept.Hear(each.Message)
		}
		for channel := range kept.held {
			for key, held := range kept.held[channel] {
				require.False(t, held && !sent.held[channel][key], "key %d of channel %d hangs", key, channel+1)
			}
		}
	})
}

func TestAFullQueueCountsWhatItLoses(t *testing.T) {
	q := NewQueue()
	for range queueSize + 10 {
		q.Put(Timed{0, NoteOn(1, 60, 64)})
	}
	q.Put(Timed{0, NoteOff(1, 60)})
	taken := q.Take()
	require.Len(t, taken.Messages, queueSize+1)
	require.Equal(t, 10, taken.Dropped)
	require.Equal(t, "note-off 1 60/C4 64", taken.Messages[queueSize].Message.String())
	require.Empty(t, q.Take().Messages)
}

func TestSystemExclusiveOfWhichAPartIsLostDoesNotGoOn(t *testing.T) {
	var q queue
	for range queueSize {
		q.put(Timed{0, Message{Status: 0xF8}})
	}
	begin := Message{Kind: Begin, Status: sysEx}
	q.put(Timed{0, begin})
	q.list = q.list[:0]
	q.put(Timed{0, Message{Kind: More, Status: sysEx}})
	q.put(Timed{0, Message{Kind: End, Status: sysEx}})
	q.put(Timed{0, SysEx(nil)})
	require.Equal(t, []Timed{{0, SysEx(nil)}}, q.list)
	require.Equal(t, 3, q.dropped)
}

// Real-time bytes may stand between the parts of a message, and do not end it
// (MIDI 1.0, system real time messages).
func TestRealTimeDoesNotLetLostSystemExclusiveGoOn(t *testing.T) {
	for name, between := range map[string]Message{
		"a clock":           {Status: 0xF8},
		"one without sense": {Kind: Undefined, Status: 0xF9},
	} {
		t.Run(name, func(t *testing.T) {
			var q queue
			for range queueSize {
				q.put(Timed{0, Message{Status: 0xF8}})
			}
			q.put(Timed{0, Message{Kind: Begin, Status: sysEx}})
			q.list = q.list[:0]
			q.put(Timed{0, between})
			q.put(Timed{0, Message{Kind: More, Status: sysEx, Body: []byte{60, 64}}})
			q.put(Timed{0, Message{Kind: End, Status: sysEx}})
			require.Equal(t, []Timed{{0, between}}, q.list)
		})
	}
}

// A reset ends all notes (MIDI 1.0, system reset).
func TestAFullQueueKeepsAReset(t *testing.T) {
	var q queue
	for range queueSize {
		q.put(Timed{0, NoteOn(1, 60, 64)})
	}
	q.put(Timed{0, Message{Status: systemReset}})
	require.Equal(t, "system-reset", q.list[queueSize].Message.String())
}

// What goes on after it was forgotten would be data bytes without a status.
func TestForgettingALinkForgetsTheRestOfSystemExclusiveToo(t *testing.T) {
	l := Link{ByteTime: DIN}
	l.Send(0, NoteOn(1, 60, 64))
	l.Send(0, Message{Kind: Begin, Status: sysEx, Body: []byte{1}})
	l.Forget()
	l.Send(0, Message{Kind: More, Status: sysEx, Body: []byte{2}})
	l.Send(0, Message{Kind: End, Status: sysEx, Body: []byte{3}})
	l.Send(0, SysEx([]byte{4}))
	bytes, _, _ := l.Due(time.Second, nil)
	require.Equal(t, []byte{0xF0, 4, 0xF7}, bytes)
}

// Ends that are told again and again leave room for those of other notes, and
// each is still there.
func TestAFullQueueOfEndsKeepsOneOfEach(t *testing.T) {
	var q queue
	for range 2 * queueSize {
		q.put(Timed{0, NoteOn(1, 60, 64)})
		q.put(Timed{0, NoteOff(1, 60)})
	}
	q.put(Timed{0, NoteOff(1, 62)})
	q.put(Timed{0, ControlChange(2, AllNotesOff, 0)})
	q.put(Timed{0, Message{Kind: Gone, Status: sysEx}})
	var texts []string
	for _, each := range q.list {
		texts = append(texts, each.Message.String())
	}
	for _, end := range []string{"note-off 1 60/C4 64", "note-off 1 62/D4 64", "control-change 2 123 0", "port-gone"} {
		require.Contains(t, texts, end)
	}
	require.Equal(t, 4*queueSize+3, len(q.list)+q.dropped, "all that is not there is counted")
}

func TestSilenceEndsEachKeyAndThenEachChannelThatHadKeys(t *testing.T) {
	var k Keys
	for _, m := range []Message{NoteOn(1, 60, 64), NoteOn(1, 62, 64), NoteOn(16, 36, 1), NoteOn(3, 40, 64),
		NoteOff(1, 62), NoteOn(3, 40, 0), ControlChange(5, 7, 100)} {
		k.Hear(m)
	}
	var texts []string
	for _, m := range k.Silence() {
		texts = append(texts, m.String())
	}
	require.Equal(t, []string{"note-off 1 60/C4 64", "note-off 16 36/C2 64",
		"control-change 1 123 0", "control-change 1 120 0", "control-change 3 123 0", "control-change 3 120 0",
		"control-change 16 123 0", "control-change 16 120 0"}, texts)
}

// leaves is what leaves a link, with the time at which each byte begins.
type leaves struct {
	At   time.Duration
	Byte byte
}

// run is all that leaves, however often the link is asked.
func (l *Link) run() (list []leaves) {
	now := time.Duration(0)
	for {
		bytes, next, idle := l.Due(now, nil)
		for i, b := range bytes {
			list = append(list, leaves{l.free - time.Duration(len(bytes)-i)*l.ByteTime, b})
		}
		if idle {
			return list
		}
		now = next
	}
}

// All 61 keys are 123 bytes and 39.4 ms; 10 without running status 30 bytes
// (MIDI 1.0, electrical specification).
func TestALinkTakesAByteIn320Microseconds(t *testing.T) {
	l := Link{ByteTime: DIN}
	for key := range byte(61) {
		l.Send(0, NoteOn(1, 36+key, 64))
	}
	require.Equal(t, Backlog{Bytes: 123, Time: 39_360 * time.Microsecond}, l.Backlog(0))
	list := l.run()
	require.Len(t, list, 123)
	for i, each := range list {
		require.Equal(t, time.Duration(i)*DIN, each.At)
	}
	require.Equal(t, Backlog{Time: DIN}, l.Backlog(122*DIN))
}

func TestRealTimeGoesFirstAndBetweenTheBytesOfAMessage(t *testing.T) {
	l := Link{ByteTime: DIN}
	l.Send(0, NoteOn(1, 60, 64))
	l.Send(0, NoteOn(1, 62, 64))
	l.Send(DIN+1, Message{Status: 0xF8})
	l.Send(3*DIN, Message{Status: 0xFA})
	require.Equal(t, []leaves{{0, 0x90}, {DIN, 60}, {2 * DIN, 0xF8}, {3 * DIN, 0xFA}, {4 * DIN, 64}, {5 * DIN, 62}, {6 * DIN, 64}}, l.run())
}

// So a message that finds the link free waits for nothing.
func TestALinkOfWholeMessagesHandsThemOverOneByOne(t *testing.T) {
	l := Link{ByteTime: DIN, Whole: true}
	l.Send(0, NoteOn(1, 60, 64))
	l.Send(0, NoteOn(1, 64, 64))
	bytes, next, _ := l.Due(0, nil)
	require.Equal(t, []byte{0x90, 60, 64}, bytes)
	require.Equal(t, 3*DIN, next)
	l.Send(DIN, Message{Status: 0xF8})
	bytes, _, idle := l.Due(10*DIN, nil)
	require.Equal(t, []byte{0xF8, 64, 64}, bytes)
	require.True(t, idle)
}

func TestAStatusIsSentAgainAfterAWhile(t *testing.T) {
	l := Link{ByteTime: DIN}
	for _, at := range []time.Duration{0, 100, 299, 301} {
		l.Send(at*time.Millisecond, ControlChange(1, 7, byte(at%128)))
	}
	require.Len(t, l.run(), 3+2+2+3)
}

// However late the caller comes, the same bytes leave.
func TestALinkThatIsAskedLateSendsTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		prompt, late := Link{ByteTime: DIN}, Link{ByteTime: DIN}
		at := time.Duration(0)
		for _, m := range rapid.SliceOfN(wholeMessages, 1, 40).Draw(t, "messages") {
			at += time.Duration(rapid.IntRange(0, 400_000).Draw(t, "gap")) * time.Microsecond / 100
			prompt.Send(at, m)
			late.Send(at, m)
		}
		var want []byte
		for _, each := range prompt.run() {
			want = append(want, each.Byte)
		}
		got, _, idle := late.Due(time.Hour, nil)
		require.True(t, idle)
		require.Equal(t, want, got)
		require.Equal(t, prompt.free, late.free)
	})
}
