package network

import (
	"net/netip"
	"time"
)

// The times of a session. That invitations come each second and 12 times, and
// clocks are compared at least every 10 s, is of the session protocol; so is
// that the invited one gives up after about 60 s. The others are our choice.
const (
	inviteEvery   = time.Second
	inviteTries   = 12
	syncEvery     = 10 * time.Second
	syncAgain     = time.Second // where one was not answered
	silentInviter = 30 * time.Second
	silentInvited = 60 * time.Second
	feedbackAfter = 20 * time.Millisecond
	guardAfter    = 100 * time.Millisecond // then twice as long each time
	guardMost     = 10 * time.Second
)

// tick is the unit of time in packets.
const tick = 100 * time.Microsecond

type stage int

const (
	invitingControl stage = iota
	invitingData
	accepted // on the control port, not yet on the data port
	open
	ended
)

// session is what stands between us and one peer.
type session struct {
	inviter       bool
	stage         stage
	token         uint32
	ours, theirs  uint32 // SSRC
	name          string // theirs
	control, data netip.AddrPort
	heard         time.Duration // when something came last

	tries int
	tryAt time.Duration // when the next is due

	syncAt   time.Duration // when the next comparison of clocks is due
	asked    uint64        // our time in the comparison that we began
	replied  uint64        // our time in the one that the peer began
	answered bool          // clocks were compared

	sender
	receiver
}

func (s *session) tell(what Happening, fx *Effects) *News {
	fx.News = append(fx.News, News{What: what, Peer: s.control, Name: s.name})
	return &fx.News[len(fx.News)-1]
}

func (s *session) onControl(b []byte, fx *Effects) {
	fx.Send = append(fx.Send, Datagram{false, s.control, b})
}

func (s *session) onData(b []byte, fx *Effects) {
	fx.Send = append(fx.Send, Datagram{true, s.data, b})
}

// begin opens a session.
func (s *session) begin(now time.Duration, fx *Effects) {
	s.stage, s.heard, s.syncAt = open, now, now
	s.tell(Joined, fx)
}

// end ends a session and releases what the peer held.
func (s *session) end(why Happening, fx *Effects) *News {
	s.stage = ended
	fx.Commands = append(fx.Commands, s.got.release()...)
	return s.tell(why, fx)
}

// tick does what is due.
func (s *session) tick(now time.Duration, fx *Effects) {
	switch {
	case s.stage < accepted:
		s.invite(now, fx)
	case s.stage == accepted && now-s.heard >= inviteTries*inviteEvery:
		s.stage = ended
	case s.stage == open && now-s.heard >= s.patience():
		s.end(Silent, fx).Time = s.patience()
	case s.stage == open:
		if s.inviter && now >= s.syncAt {
			s.asked, s.syncAt = ticks(now), now+syncAgain
			s.onData(Sync{s.ours, 0, [3]uint64{s.asked}}.append(nil), fx)
		}
		if s.feedbackAt > 0 && now >= s.feedbackAt {
			s.feedbackAt = 0
			s.onControl(Feedback{s.ours, uint32(s.last) << 16}.append(nil), fx)
		}
		s.guard(now, fx)
	}
}

// next is when tick has something to do.
func (s *session) next() time.Duration {
	switch s.stage {
	case invitingControl, invitingData:
		return s.tryAt
	case accepted:
		return s.heard + inviteTries*inviteEvery
	}
	next := s.heard + s.patience()
	if s.inviter {
		next = min(next, s.syncAt)
	}
	if s.feedbackAt > 0 {
		next = min(next, s.feedbackAt)
	}
	if !s.settled() {
		next = min(next, s.guardAt)
	}
	return next
}

// patience is how long a peer may be silent.
func (s *session) patience() time.Duration {
	if s.inviter {
		return silentInviter
	}
	return silentInvited
}

func (s *session) invite(now time.Duration, fx *Effects) {
	switch {
	case now < s.tryAt:
		return
	case s.tries == inviteTries:
		s.end(Unanswered, fx)
		return
	case s.tries == 1 && s.stage == invitingControl:
		s.tell(Waiting, fx)
	}
	s.tries++
	s.tryAt = now + inviteEvery
	b := Exchange{Invite, s.token, s.ours, ourName}.append(nil)
	if s.stage == invitingControl {
		s.onControl(b, fx)
	} else {
		s.onData(b, fx)
	}
}

// reply takes the answer to an invitation.
func (s *session) reply(now time.Duration, x Exchange, onData bool, fx *Effects) {
	switch {
	case s.stage > invitingData || onData != (s.stage == invitingData):
	case x.Word == Refuse:
		s.end(Refused, fx)
	case s.stage == invitingControl:
		s.theirs, s.name = x.Source, x.Name
		s.stage, s.tries, s.tryAt = invitingData, 0, now
		s.invite(now, fx)
	case x.Source == s.theirs:
		s.begin(now, fx)
		s.tick(now, fx)
	}
}

// sync takes and answers a packet that compares clocks.
func (s *session) sync(now time.Duration, x Sync, fx *Effects) {
	s.heard = now
	here := ticks(now)
	switch x.Count {
	case 0:
		s.replied = here
		s.onData(Sync{s.ours, 1, [3]uint64{x.Times[0], here}}.append(nil), fx)
	case 1:
		if !s.inviter || x.Times[0] != s.asked {
			return
		}
		s.syncAt = now + syncEvery
		x.Source, x.Count, x.Times[2] = s.ours, 2, here
		s.onData(x.append(nil), fx)
		s.compared(x.Times[2]-x.Times[0], x.Times[0]+(x.Times[2]-x.Times[0])/2-x.Times[1], fx)
	case 2:
		if s.replied > 0 && x.Times[1] == s.replied {
			s.compared(x.Times[2]-x.Times[0], x.Times[1]-x.Times[0]-(x.Times[2]-x.Times[0])/2, fx)
		}
	}
}

// compared tells, the first time, what a comparison of clocks says: the round
// trip, and our clock less the peer's, both in ticks.
func (s *session) compared(roundTrip, offset uint64, fx *Effects) {
	if !s.answered && roundTrip <= uint64(silentInvited/tick) {
		s.answered = true
		n := s.tell(Answered, fx)
		n.Time, n.Offset = time.Duration(roundTrip)*tick, time.Duration(int64(offset))*tick
	}
}

func ticks(now time.Duration) uint64 { return uint64(now / tick) }
