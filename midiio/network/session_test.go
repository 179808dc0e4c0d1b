package network

import (
	"fmt"
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// sentOf are the packets of the session that effects send, as parsed.
func sentOf(effects ...Effects) (list []any) {
	for _, fx := range effects {
		for _, d := range fx.Send {
			if x := parseExchange(d.Bytes); x != nil {
				list = append(list, x)
			}
		}
	}
	return list
}

// packetsOf are the RTP packets that effects send.
func packetsOf(t *testing.T, effects ...Effects) (list []Packet) {
	for _, fx := range effects {
		for _, d := range fx.Send {
			if parseExchange(d.Bytes) == nil {
				p, err := ParsePacket(d.Bytes)
				require.NoError(t, err)
				list = append(list, p)
			}
		}
	}
	return list
}

// The order and the times of the session protocol: invitations on the control
// port, then on the data port, then clocks are compared.
func TestASessionBeginsInTheOrderOfTheProtocol(t *testing.T) {
	w := newWorld(0, time.Millisecond)
	w.join(t)
	w.run(w.now + 10*time.Millisecond)
	var words []any
	for _, x := range sentOf(w.heard[0]...) {
		switch x := x.(type) {
		case Exchange:
			require.Equal(t, uint32(1), x.Source)
			words = append(words, x.Word)
		case Sync:
			words = append(words, x.Count)
		}
	}
	require.Equal(t, []any{Invite, Invite, 0, 2}, words)
	require.Equal(t, []Happening{Joined, Answered}, w.news(0))
	require.Equal(t, []Happening{Joined, Answered}, w.news(1))
}

func TestInvitationsComeEachSecondAndTwelveTimes(t *testing.T) {
	w := newWorld(1, time.Millisecond)
	begun := w.now
	w.do(0, w.ends[0].Invite(w.now, w.port(1, false)))
	for n := range 12 {
		w.run(begun + time.Duration(n)*time.Second)
		require.Equal(t, max(n, 1), w.sent)
		w.run(w.now + 1)
		require.Equal(t, n+1, w.sent)
	}
	w.run(w.now + time.Minute)
	require.Equal(t, 12, w.sent)
	require.Equal(t, []Happening{Waiting, Unanswered}, w.news(0))
	told := w.heard[0][len(w.heard[0])-1].News[0].String()
	require.Equal(t, "nobody answers at 192.0.2.2:5004, after 12 invitations in as many seconds; is a session open there, and is it the control port (often 5004)?", told)
	require.Empty(t, w.ends[0].sessions)
}

func TestOneWhoIsInvitedAndHearsNoMoreForgetsIt(t *testing.T) {
	w := newWorld(0, time.Millisecond)
	w.do(0, w.ends[0].Invite(w.now, w.port(1, false)))
	w.step(w.now + time.Second)
	require.Len(t, w.ends[1].sessions, 1)
	w.loss = 1
	w.run(w.now + time.Minute)
	require.Empty(t, w.ends[1].sessions)
}

// A peer that is gone holds nothing after 60 s, or 30 s if we invited it.
func TestAPeerThatFallsSilentHoldsNothing(t *testing.T) {
	for end, patience := range map[int]time.Duration{0: 30 * time.Second, 1: 60 * time.Second} {
		w := newWorld(0, time.Millisecond)
		w.join(t)
		held := [][]byte{{0x90, 60, 100}, {0x93, 62, 1}, {0xB0, 64, 127}, {0xB0, 7, 90}}
		w.do(1-end, w.ends[1-end].Send(w.now, held))
		w.run(w.now + 100*time.Millisecond)
		w.taken(end)
		w.loss = 1 // the cable is cut
		w.run(w.now + patience - 11*time.Second)
		require.Empty(t, w.taken(end))
		w.run(w.now + 11*time.Second)
		require.Equal(t, []Happening{Silent}, w.news(end))
		require.Regexp(t, fmt.Sprintf(`^(trundle at )?192\.0\.2\.%d:5004 was silent for %.0f s; what it held is released$`, 2-end, patience.Seconds()), w.heard[end][len(w.heard[end])-1].News[0].String())
		require.Equal(t, [][]byte{{0x80, 60, 64}, {0xB0, 64, 0}, {0x83, 62, 64}}, w.taken(end))
		require.Empty(t, w.ends[end].sessions)
	}
}

func TestASessionWithoutTrafficLasts(t *testing.T) {
	w := newWorld(0.3, 60*time.Millisecond)
	w.join(t)
	w.run(w.now + time.Hour)
	require.Equal(t, 2, w.ends[0].Open()+w.ends[1].Open())
}

func TestOneWhoBeginsAnewHoldsNothing(t *testing.T) {
	w := newWorld(0, time.Millisecond)
	w.join(t)
	w.do(0, w.ends[0].Send(w.now, [][]byte{{0x90, 60, 100}}))
	w.run(w.now + 10*time.Millisecond)
	w.taken(1)
	w.ends[0].sessions = nil // it was killed and is started again
	w.join(t)
	require.Equal(t, []Happening{Restarted, Joined}, w.news(1))
	require.Equal(t, [][]byte{{0x80, 60, 64}}, w.taken(1))
	require.Len(t, w.ends[1].sessions, 1)
}

// Published descriptions have the sequence number in the upper or the lower
// half.
func TestFeedbackIsReadFromEitherHalf(t *testing.T) {
	for name, c := range map[string]struct {
		value uint32
		want  uint32 // packets acknowledged, of 5 that were sent from 10 on
	}{
		"the upper half":            {12 << 16, 2},
		"the lower half":            {12, 2},
		"both, and the upper fits":  {15<<16 | 3, 5},
		"both, and the lower fits":  {3<<16 | 13, 3},
		"before what was sent":      {9 << 16, 0},
		"beyond what was sent":      {16 << 16, 0},
		"nothing":                   {0, 0},
		"what was there before all": {10 << 16, 0},
	} {
		t.Run(name, func(t *testing.T) {
			s := newSender(10)
			s.seq += 5
			s.acknowledged(Feedback{Value: c.value})
			require.Equal(t, c.want, s.acked-(1<<16|10))
		})
	}
}

// The half that is not used is 0, which is a sequence number too.
func TestAnAcknowledgementThatComesTwiceAcknowledgesNoMore(t *testing.T) {
	s := newSender(65_530)
	s.seq += 20
	for range 2 {
		s.acknowledged(Feedback{Value: 65_532 << 16})
		require.Equal(t, uint32(1<<16|65_532), s.acked)
	}
	s.acknowledged(Feedback{Value: 65_532})
	require.Equal(t, uint32(1<<16|65_532), s.acked)
	s.acknowledged(Feedback{})
	require.Equal(t, uint32(2<<16), s.acked)
}

// A journal shrinks by what the peer has, and a guard packet comes, each time
// later, until it has all.
func TestGuardPacketsComeUntilThePeerHasAll(t *testing.T) {
	w := newWorld(0, time.Millisecond)
	w.join(t)
	w.run(w.now + time.Second)
	w.taken(0)
	w.loss = 1
	begun := w.now
	w.do(0, w.ends[0].Send(w.now, [][]byte{{0x90, 60, 100}}))
	w.run(w.now + 3*time.Second)
	packets := packetsOf(t, w.heard[0]...)
	require.Len(t, packets, 1+4, "after 100, 300, 700 and 1500 ms; the next is due after 3100")
	w.loss = 0
	w.run(w.now + time.Second)
	require.True(t, w.ends[0].Settled())
	require.Equal(t, [][]byte{{0x90, 60, 100}}, w.taken(1))
	w.taken(0)
	w.run(begun + 20*time.Second)
	require.Empty(t, packetsOf(t, w.heard[0]...))
	w.do(0, w.ends[0].Send(w.now, [][]byte{{0x80, 60, 64}}))
	require.Equal(t, &Journal{Checkpoint: packets[0].Sequence + 5 + 1}, packetsOf(t, w.heard[0]...)[0].Journal, "nothing is left in it")
}

// Who keeps no journal has his notes ended when packets are lost.
func TestALossWithoutAJournalEndsAllNotes(t *testing.T) {
	w := newWorld(0, time.Millisecond)
	w.join(t)
	w.taken(1)
	send := func(sequence uint16, command ...byte) {
		p := Packet{Sequence: sequence, Source: 1, Commands: []Command{{Bytes: command}}}
		w.do(1, w.ends[1].Receive(w.now, Datagram{true, w.port(0, true), p.Append(nil)}))
	}
	send(65534, 0x90, 60, 1)
	send(65535, 0x90, 61, 1)
	require.Equal(t, [][]byte{{0x90, 60, 1}, {0x90, 61, 1}}, w.taken(1))
	send(2, 0x90, 62, 1)
	require.Equal(t, []Happening{Lost}, w.news(1))
	require.Equal(t, "packets of trundle at 192.0.2.1:5004 were lost (2), and no journal of it makes up for them; what it held is released", w.heard[1][0].News[0].String())
	require.Equal(t, [][]byte{{0x80, 60, 64}, {0x80, 61, 64}, {0x90, 62, 1}}, w.taken(1))
	send(1, 0x90, 63, 1)
	send(2, 0x90, 62, 1)
	require.Empty(t, w.taken(1), "late ones and those that came already are dropped")
	send(3, 0x80, 62, 1)
	require.Equal(t, [][]byte{{0x80, 62, 1}}, w.taken(1))
}

// A sender that counts from the beginning again has forgotten what it held, so
// its journal says nothing of that. It takes two packets in a row to tell it
// from one that comes very late (RFC 3550 appendix A.1).
func TestASenderThatCountsAnewHoldsNothing(t *testing.T) {
	w := newWorld(0, time.Millisecond)
	w.join(t)
	w.taken(1)
	send := func(sequence uint16, journal ChannelJournal, command ...byte) {
		journal.Channel = 1
		p := Packet{Sequence: sequence, Source: 1, Journal: &Journal{Checkpoint: 100, Channels: []ChannelJournal{journal}}}
		if command != nil {
			p.Commands = []Command{{Bytes: command}}
		}
		w.do(1, w.ends[1].Receive(w.now, Datagram{true, w.port(0, true), p.Append(nil)}))
	}
	program := &ProgramLog{Program: 7}
	send(5000, ChannelJournal{}, 0x90, 60, 1)
	send(5001, ChannelJournal{}, 0xC0, 7)
	w.taken(1)
	send(4000, ChannelJournal{}, 0x90, 61, 1)
	send(100, ChannelJournal{}, 0x90, 62, 1)
	send(5002, ChannelJournal{}, 0x90, 63, 1)
	require.Equal(t, [][]byte{{0x90, 63, 1}}, w.taken(1), "packets that are very late")
	send(101, ChannelJournal{Program: program, Notes: []NoteLog{{62, 1, true, true}}}, 0x90, 64, 1)
	require.Equal(t, []Happening{Restarted}, w.news(1))
	require.Equal(t, [][]byte{{0x80, 60, 64}, {0x80, 63, 64}, {0xC0, 7}, {0x90, 62, 1}, {0x90, 64, 1}}, w.taken(1))
	send(102, ChannelJournal{}, 0x80, 64, 1)
	require.Equal(t, [][]byte{{0x80, 64, 1}}, w.taken(1))
}

// A system exclusive message with a part lost is never joined from the rest.
func TestALostPartOfSystemExclusiveIsNotBridged(t *testing.T) {
	for name, c := range map[string]struct{ before, after, want string }{
		"its beginning":     {"", "f7 02 f7", ""},
		"its middle":        {"f0 01 f0", "f7 03 f7", ""},
		"its end":           {"f0 01 f0", "90 3c 01", "90 3c 01"},
		"all but a new one": {"f0 01 f0", "f0 04 f7", "f0 04 f7"},
	} {
		t.Run(name, func(t *testing.T) {
			var s session
			var fx Effects
			if c.before != "" {
				s.take(time.Second, Packet{Sequence: 1, Commands: commands(c.before)}, &fx)
			} else {
				s.take(time.Second, Packet{Sequence: 1}, &fx)
			}
			fx = Effects{}
			s.take(time.Second, Packet{Sequence: 3, Commands: commands(c.after)}, &fx)
			var want [][]byte
			if c.want != "" {
				want = [][]byte{octets(t, c.want)}
			}
			require.Equal(t, want, fx.Commands)
		})
	}
}

// Clocks that differ by 4.899 s: the round trip is 2 ms as the one who began
// sees it (times in ticks of 100 µs).
func TestClocksAreComparedAsTheProtocolSays(t *testing.T) {
	here := 5 * time.Second
	var fx Effects
	invited := session{stage: open}
	invited.sync(here, Sync{1, 0, [3]uint64{1000, 0, 0}}, &fx)
	require.Equal(t, []any{Sync{0, 1, [3]uint64{1000, 50000, 0}}}, sentOf(fx))
	invited.sync(here, Sync{1, 2, [3]uint64{1000, 49999, 1020}}, &fx)
	require.Empty(t, fx.News, "that was not our answer")
	invited.sync(here, Sync{1, 2, [3]uint64{1000, 50000, 999}}, &fx)
	require.Empty(t, fx.News, "nobody is answered before he asks")
	invited.sync(here, Sync{1, 2, [3]uint64{1000, 50000, 1020}}, &fx)
	require.Equal(t, []News{{What: Answered, Time: 2 * time.Millisecond, Offset: 4899 * time.Millisecond}}, fx.News)

	fx = Effects{}
	inviter := session{stage: open, inviter: true, syncAt: here}
	inviter.tick(here, &fx)
	require.Equal(t, []any{Sync{0, 0, [3]uint64{50000, 0, 0}}}, sentOf(fx))
	fx = Effects{}
	inviter.sync(here+4*time.Millisecond, Sync{1, 1, [3]uint64{49999, 1000, 0}}, &fx)
	require.Empty(t, sentOf(fx), "that was not our question")
	inviter.sync(here+4*time.Millisecond, Sync{1, 1, [3]uint64{50000, 1000, 0}}, &fx)
	require.Equal(t, []any{Sync{0, 2, [3]uint64{50000, 1000, 50040}}}, sentOf(fx))
	require.Equal(t, []News{{What: Answered, Time: 4 * time.Millisecond, Offset: 4902 * time.Millisecond}}, fx.News)
	require.Equal(t, here+4*time.Millisecond+10*time.Second, inviter.syncAt)
}

// Whatever comes from another address, port or source, or about another
// session, does nothing at all.
func TestPacketsOfOthersHaveNoEffect(t *testing.T) {
	note := Packet{Sequence: 1, Source: 1, Commands: commands("90 3c 64")}
	others := note
	others.Source = 3
	stranger := netip.MustParseAddrPort("198.51.100.1:5005")
	w := newWorld(0, time.Millisecond)
	control, data := w.port(0, false), w.port(0, true)
	for name, d := range map[string]Datagram{
		"a note from another address":            {true, stranger, note.Append(nil)},
		"a note from another port":               {true, netip.AddrPortFrom(data.Addr(), 1234), note.Append(nil)},
		"a note from the control port":           {true, control, note.Append(nil)},
		"a note to the control port":             {false, control, note.Append(nil)},
		"a note of another source":               {true, data, others.Append(nil)},
		"a note cut short":                       {true, data, note.Append(nil)[:15]},
		"nothing":                                {true, data, nil},
		"a goodbye from another address":         {false, stranger, Exchange{Bye, 0, 1, ""}.append(nil)},
		"a goodbye of another source":            {false, control, Exchange{Bye, 0, 3, ""}.append(nil)},
		"feedback from another address":          {false, stranger, Feedback{1, 1 << 16}.append(nil)},
		"a comparison on the control port":       {false, control, Sync{Source: 1}.append(nil)},
		"a comparison from another address":      {true, stranger, Sync{Source: 1}.append(nil)},
		"an answer nobody asked for":             {false, control, Exchange{Accept, 7, 1, ""}.append(nil)},
		"a refusal nobody asked for":             {false, control, Exchange{Refuse, 7, 1, ""}.append(nil)},
		"an invitation to data without control":  {true, data, Exchange{Invite, 7, 1, ""}.append(nil)},
		"an invitation to data by another port":  {true, stranger, Exchange{Invite, 7, 1, ""}.append(nil)},
		"an answer to a comparison of no moment": {true, data, Sync{1, 1, [3]uint64{}}.append(nil)},
	} {
		t.Run(name, func(t *testing.T) {
			w := newWorld(0, time.Millisecond)
			w.join(t)
			w.run(w.now + time.Second)
			require.Equal(t, Effects{}, w.ends[1].Receive(w.now, d))
			require.Equal(t, 1, w.ends[1].Open())
		})
	}
}

// An answer from elsewhere than the address that was invited, or without the
// token, opens nothing.
func TestOnlyTheInvitedOneCanAnswer(t *testing.T) {
	for name, change := range map[string]func(*Datagram, *Exchange){
		"another address": func(d *Datagram, _ *Exchange) { d.Peer = netip.MustParseAddrPort("198.51.100.1:5004") },
		"another token":   func(_ *Datagram, x *Exchange) { x.Token++ },
		"the data port":   func(d *Datagram, _ *Exchange) { d.Data = true },
	} {
		t.Run(name, func(t *testing.T) {
			w := newWorld(1, time.Millisecond)
			w.do(0, w.ends[0].Invite(w.now, w.port(1, false)))
			s := w.ends[0].sessions[0]
			for _, word := range []Word{Accept, Refuse} {
				d, x := Datagram{Peer: w.port(1, false)}, Exchange{word, s.token, 2, ""}
				change(&d, &x)
				d.Bytes = x.append(nil)
				require.Equal(t, Effects{}, w.ends[0].Receive(w.now, d))
				require.Equal(t, invitingControl, s.stage)
			}
		})
	}
}

// Memory is bounded: so many sessions, and so many strangers told of.
func TestCrowdsAreRefused(t *testing.T) {
	w := newWorld(0, time.Millisecond)
	e, refused := w.ends[1], 0
	for i := range uint16(100) {
		fx := e.Receive(w.now, Datagram{false, netip.AddrPortFrom(w.addresses[0], 1000+2*i), Exchange{Invite, 1, uint32(i), ""}.append(nil)})
		if sentOf(fx)[0].(Exchange).Word == Refuse {
			refused++
		}
		w.do(1, Effects{News: fx.News})
	}
	require.Len(t, e.sessions, maxSessions)
	require.Equal(t, 100-maxSessions, refused)
	require.Equal(t, []Happening{Full}, w.news(1), "told once")
	for i := range uint32(1000) {
		address := netip.AddrFrom4([4]byte{198, 51, byte(i >> 8), byte(i)})
		e.Receive(w.now, Datagram{false, netip.AddrPortFrom(address, 1000), Exchange{Invite, 1, i, ""}.append(nil)})
	}
	require.Len(t, e.strangers, 16)
}
