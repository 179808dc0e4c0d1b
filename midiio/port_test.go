package midiio

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// take takes messages from an input until there are as many as wanted, or
// there will be no more.
func take(t *testing.T, in *Input, want int) (list []Timed) {
	t.Helper()
	for len(list) < want {
		select {
		case <-in.Ready():
		case <-time.After(10 * time.Second):
			require.Fail(t, "nothing comes", "%d of %d came", len(list), want)
		}
		taken := in.Take()
		list = append(list, taken.Messages...)
		if taken.Closed {
			require.NoError(t, taken.Err)
			return list
		}
	}
	return list
}

func texts(list []Timed) (texts []string) {
	for _, t := range list {
		texts = append(texts, t.Message.String())
	}
	return texts
}

func TestWhatIsSentThroughAPairArrivesStampedAndInOrder(t *testing.T) {
	here, there := Pair(64)
	clock := NewClock()
	in, out := Listen(there, clock), Talk(here, 0, clock)
	begin := clock()
	for key := range byte(128) {
		out.Send(NoteOn(1, key, 64))
		out.Send(NoteOff(1, key))
	}
	list := take(t, in, 256)
	require.Len(t, list, 256)
	last := begin
	for i, each := range list {
		require.Equal(t, byte(i/2), each.Message.A)
		require.GreaterOrEqual(t, each.At, last)
		last = each.At
	}
	require.LessOrEqual(t, last, clock())
	require.NoError(t, out.Close())
}

func TestClosingAnOutputEndsWhatItBegan(t *testing.T) {
	here, there := Pair(64)
	clock := NewClock()
	in, out := Listen(there, clock), Talk(here, 0, clock)
	out.Send(NoteOn(2, 60, 64))
	require.NoError(t, out.Drain(context.Background()))
	require.NoError(t, out.Close())
	require.Equal(t, []string{"note-on 2 60/C4 64", "note-off 2 60/C4 64", "control-change 2 123 0", "control-change 2 120 0"}, texts(take(t, in, 100)))
}

// A port that takes nothing: sending goes on, what is lost is counted, and
// closing tells that keys may sound.
func TestASenderNeverWaitsForAPortThatTakesNothing(t *testing.T) {
	here, _ := Pair(1)
	out := Talk(here, 0, NewClock())
	for range 3 * queueSize {
		out.Send(NoteOn(1, 60, 64))
	}
	backlog := out.Backlog()
	require.GreaterOrEqual(t, backlog.Dropped, queueSize)
	require.ErrorIs(t, out.Close(), errStuck)
}

// stuck is a port whose writes end never, not by closing it either.
type stuck struct{ Port }

func (stuck) Write([]byte) (int, error) { select {} }

func TestAPortThatTakesNothingDoesNotKeepAProgramFromEnding(t *testing.T) {
	here, _ := Pair(1)
	out := Talk(stuck{here}, 0, NewClock())
	out.Send(NoteOn(1, 60, 64))
	require.ErrorIs(t, out.Close(), errStuck)
}

func TestAPortThatFailsIsToldOf(t *testing.T) {
	here, there := Pair(64)
	out := Talk(here, 0, NewClock())
	require.NoError(t, there.Close())
	out.Send(NoteOn(1, 60, 64))
	require.ErrorIs(t, out.Drain(context.Background()), io.ErrClosedPipe)
	require.ErrorIs(t, out.Close(), io.ErrClosedPipe)
}

func TestTheLoadOfALinkIsThatOfTheLastSecond(t *testing.T) {
	in := &Input{}
	in.meter.add(100*time.Millisecond, 1000)
	in.meter.add(900*time.Millisecond, 1500)
	require.InDelta(t, 0.8, in.Load(950*time.Millisecond, DIN), 1e-9) // 2500 of 3125 bytes a second
	require.InDelta(t, 0.48, in.Load(1500*time.Millisecond, DIN), 1e-9)
	require.Zero(t, in.Load(time.Hour, DIN))
}

func TestFilesAreSourceAndSink(t *testing.T) {
	path := filepath.Join(t.TempDir(), "bytes")
	sink, err := Open("file:"+path, Out)
	require.NoError(t, err)
	out := Talk(sink, 0, NewClock())
	out.Send(SysEx([]byte{0x7E, 0x7F, 6, 1}))
	require.NoError(t, out.Drain(context.Background()))
	require.NoError(t, out.Close())
	written, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, []byte{0xF0, 0x7E, 0x7F, 6, 1, 0xF7}, written)
	source, err := Open("file:"+path, In)
	require.NoError(t, err)
	require.Equal(t, []string{"sysex 7E 7F 06 01"}, texts(take(t, Listen(source, NewClock()), 2)))
}

func TestAFileThatIsReadSlowlyLosesNothing(t *testing.T) {
	path := filepath.Join(t.TempDir(), "clocks")
	require.NoError(t, os.WriteFile(path, bytes.Repeat([]byte{0xF8}, 10*queueSize+1), 0o600))
	in := Listen(must(Open("file:"+path, In)), NewClock())
	require.Len(t, take(t, in, 11*queueSize), 10*queueSize+1)
	require.Zero(t, in.Take().Dropped)
	require.NoError(t, in.Close())
}

func must(p Port, err error) Port {
	if err != nil {
		panic(err)
	}
	return p
}

func TestPortsThatAreNotThereAreToldOf(t *testing.T) {
	for name, want := range map[string]string{
		"keys":                "no port keys; a port is serial:DEVICE, serial:DEVICE@BAUD, pty:LINK, file:PATH, network:HOST:PORT, network-listen:PORT, network-listen:ADDRESS:PORT@PEER, midi:NAME, raw:NAME, own:NAME",
		"/dev/ttyUSB0":        "no port /dev/ttyUSB0; write serial:/dev/ttyUSB0 for a serial line, file:/dev/ttyUSB0 for a file or a raw MIDI device",
		"serial:":             "no port serial:; a port is serial:DEVICE, serial:DEVICE@BAUD, pty:LINK, file:PATH, network:HOST:PORT, network-listen:PORT, network-listen:ADDRESS:PORT@PEER, midi:NAME, raw:NAME, own:NAME",
		"file:none/such":      "none/such: cannot be opened: no such file or directory",
		"serial:/dev/none@0":  `"0" is no rate of a line: it is from 50 to 4000000 baud, on a MIDI cable 31250`,
		"serial:/dev/nowhere": "/dev/nowhere: cannot be opened: it is not there; plug it in, or start the program at its other end (pty:/dev/nowhere) first",
	} {
		_, err := Open(name, In)
		require.EqualError(t, err, want)
	}
}

func BenchmarkPairToPair(b *testing.B) {
	here, there := Pair(1 << 16)
	clock := NewClock()
	in, out := Listen(there, clock), Talk(here, 0, clock)
	for b.Loop() {
		out.Send(NoteOn(1, 60, 64))
		<-in.Ready()
		in.Take()
	}
	if err := out.Close(); err != nil && !errors.Is(err, io.ErrClosedPipe) {
		b.Fatal(err)
	}
}

// Where a map has notes that stand for controls, only keys are ended.
func TestNotesThatAreNoKeysAreNotEnded(t *testing.T) {
	here, there := Pair(64)
	clock := NewClock()
	in, out := Listen(there, clock), Talk(here, 0, clock)
	out.KeysAre(func(m Message) bool { return m.Channel() == 1 })
	out.Send(NoteOn(1, 60, 64))
	out.Send(NoteOn(15, 3, 64))
	require.NoError(t, out.Drain(context.Background()))
	require.NoError(t, out.Close(NoteOn(15, 3, 64)))
	require.Equal(t, []string{"note-on 1 60/C4 64", "note-on 15 3/D#-1 64", "note-off 1 60/C4 64",
		"control-change 1 123 0", "control-change 1 120 0", "note-on 15 3/D#-1 64"}, texts(take(t, in, 100)))
}
