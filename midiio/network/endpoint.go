package network

import (
	"net/netip"
	"slices"
	"time"
)

// ourName is what we call ourselves to peers.
const ourName = "trundle"

// maxSessions is how many peers there may be at a time.
const maxSessions = 8

// Endpoint is our end of sessions, without sockets or a clock: its caller says
// what time it is, hands in what arrives, and does the effects. Time is since
// any beginning, but after 0. Invited peers are the ones Allow lets in.
type Endpoint struct {
	Source uint32 // our SSRC
	Allow  func(netip.Addr) bool
	Random func() uint32

	sessions  []*session
	strangers []netip.Addr // refused already
}

// Datagram is a packet to send to or that came from a peer.
type Datagram struct {
	Data  bool           // by the data port, otherwise the control port
	Peer  netip.AddrPort // at the other end
	Bytes []byte
}

// Effects are what is to be done.
type Effects struct {
	Send     []Datagram
	Commands [][]byte // received, or made up for
	News     []News
}

// Invite asks a peer to join, by its control port; the port after it is the
// one for data.
func (e *Endpoint) Invite(now time.Duration, peer netip.AddrPort) (fx Effects) {
	s := e.add(Exchange{Token: e.Random()}, peer)
	s.inviter, s.data, s.tryAt = true, netip.AddrPortFrom(peer.Addr(), peer.Port()+1), now
	s.tick(now, &fx)
	return fx
}

func (e *Endpoint) add(x Exchange, control netip.AddrPort) *session {
	s := &session{token: x.Token, ours: e.Source, theirs: x.Source, name: x.Name, control: control, sender: newSender(uint16(e.Random()))}
	e.sessions = append(e.sessions, s)
	return s
}

// Open is how many sessions are open.
func (e *Endpoint) Open() (n int) {
	for _, s := range e.sessions {
		if s.stage == open {
			n++
		}
	}
	return n
}

// Settled reports that all peers have all commands.
func (e *Endpoint) Settled() bool {
	return !slices.ContainsFunc(e.sessions, func(s *session) bool { return s.stage == open && !s.settled() })
}

// Send sends commands to all peers. A command is a whole MIDI message, or a
// segment of a system exclusive one (see Command), of at most 1,200 octets.
func (e *Endpoint) Send(now time.Duration, commands [][]byte) (fx Effects) {
	for _, s := range e.sessions {
		if s.stage == open {
			s.send(now, commands, &fx)
		}
	}
	return fx
}

// Tick does what is due.
func (e *Endpoint) Tick(now time.Duration) (fx Effects) {
	for _, s := range e.sessions {
		s.tick(now, &fx)
	}
	e.forget()
	return fx
}

// Next is when Tick will have something to do, if there is anything.
func (e *Endpoint) Next() (next time.Duration, any bool) {
	for _, s := range e.sessions {
		if at := s.next(); !any || at < next {
			next, any = at, true
		}
	}
	return next, any
}

// Close ends all sessions.
func (e *Endpoint) Close() (fx Effects) {
	for _, s := range e.sessions {
		s.onControl(Exchange{Bye, s.token, s.ours, ""}.append(nil), &fx)
	}
	e.sessions = nil
	return fx
}

// forget drops the sessions that have ended.
func (e *Endpoint) forget() {
	e.sessions = slices.DeleteFunc(e.sessions, func(s *session) bool { return s.stage == ended })
}

// Receive takes a packet, from whomever. What is not of a session with its
// sender, by address and SSRC, has no effect.
func (e *Endpoint) Receive(now time.Duration, d Datagram) (fx Effects) {
	switch x := parseExchange(d.Bytes).(type) {
	case Exchange:
		e.exchange(now, d, x, &fx)
	case Sync:
		if s := e.from(d, x.Source); s != nil && d.Data {
			s.sync(now, x, &fx)
		}
	case Feedback:
		if s := e.from(d, x.Source); s != nil {
			s.heard = now
			s.acknowledged(x)
		}
	default:
		p, err := ParsePacket(d.Bytes)
		if err != nil || !d.Data {
			break
		}
		if s := e.from(d, p.Source); s != nil {
			s.take(now, p, &fx)
		}
	}
	e.forget()
	return fx
}

// from is the open session that a packet is of.
func (e *Endpoint) from(d Datagram, source uint32) *session {
	return e.find(func(s *session) bool {
		return s.stage == open && s.theirs == source && d.Peer == s.port(d.Data)
	})
}

// port is the peer's port, of the two.
func (s *session) port(data bool) netip.AddrPort {
	if data {
		return s.data
	}
	return s.control
}

func (e *Endpoint) find(is func(*session) bool) *session {
	if i := slices.IndexFunc(e.sessions, is); i >= 0 {
		return e.sessions[i]
	}
	return nil
}

func (e *Endpoint) exchange(now time.Duration, d Datagram, x Exchange, fx *Effects) {
	switch x.Word {
	case Accept, Refuse:
		s := e.find(func(s *session) bool { return s.inviter && s.token == x.Token && d.Peer == s.port(d.Data) })
		if s != nil {
			s.reply(now, x, d.Data, fx)
		}
	case Bye:
		if s := e.from(d, x.Source); s != nil {
			s.end(Left, fx)
		}
	case Invite:
		if d.Data {
			e.invitedToData(now, d, x, fx)
		} else {
			e.invited(now, d, x, fx)
		}
	}
}

// invited takes an invitation on the control port.
func (e *Endpoint) invited(now time.Duration, d Datagram, x Exchange, fx *Effects) {
	answer := Exchange{Accept, x.Token, e.Source, ourName}
	s := e.find(func(s *session) bool { return !s.inviter && s.theirs == x.Source && s.control == d.Peer })
	switch {
	case !e.Allow(d.Peer.Addr()):
		answer = Exchange{Refuse, x.Token, e.Source, ""}
		e.stranger(Asked, d, x, fx)
	case s != nil && s.token == x.Token: // our answer was lost
	case s == nil && len(e.sessions) == maxSessions:
		answer = Exchange{Refuse, x.Token, e.Source, ""}
		e.stranger(Full, d, x, fx)
	default:
		if s != nil {
			s.end(Restarted, fx)
			e.forget()
		}
		s = e.add(x, d.Peer)
		s.stage, s.heard = accepted, now
	}
	fx.Send = append(fx.Send, Datagram{false, d.Peer, answer.append(nil)})
}

// stranger tells of one who was refused, once of each, and of so many only.
func (e *Endpoint) stranger(what Happening, d Datagram, x Exchange, fx *Effects) {
	if addr := d.Peer.Addr(); len(e.strangers) < 16 && !slices.Contains(e.strangers, addr) {
		e.strangers = append(e.strangers, addr)
		fx.News = append(fx.News, News{What: what, Peer: d.Peer, Name: x.Name})
	}
}

// invitedToData takes the second invitation of one who was let in.
func (e *Endpoint) invitedToData(now time.Duration, d Datagram, x Exchange, fx *Effects) {
	s := e.find(func(s *session) bool {
		return !s.inviter && s.theirs == x.Source && s.token == x.Token && s.control.Addr() == d.Peer.Addr() &&
			(s.stage == accepted || s.data == d.Peer)
	})
	if s == nil {
		return
	}
	s.data = d.Peer
	s.onData(Exchange{Accept, x.Token, e.Source, ourName}.append(nil), fx)
	if s.stage == accepted {
		s.begin(now, fx)
	}
}
