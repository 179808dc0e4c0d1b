package network

import (
	"fmt"
	"net/netip"
	"time"
)

// Happening is what News tells.
type Happening int

const (
	Waiting    Happening = iota // an invitation was not answered yet
	Joined                      // a session is open
	Answered                    // the peer's clock was compared with ours
	Left                        // the peer ended the session
	Restarted                   // the peer began anew, in a new session or this one
	Silent                      // nothing was heard for too long
	Unanswered                  // nobody answered the invitations
	Refused                     // the peer does not want the session
	Asked                       // one who may not join was refused
	Full                        // one was refused because there are too many
	Lost                        // packets were lost that no journal makes up for
)

// News is what people want to know of a session.
type News struct {
	What    Happening
	Peer    netip.AddrPort // its control port
	Name    string         // what it calls itself, or none
	Time    time.Duration  // the round trip, or how long it was silent
	Offset  time.Duration  // our clock less the peer's
	Packets int            // lost
}

// String is the news as a line of text.
func (n News) String() string {
	peer := n.Peer.String()
	if n.Name != "" {
		peer = n.Name + " at " + peer
	}
	switch n.What {
	case Waiting:
		return fmt.Sprintf("%s does not answer yet; it is invited for up to %d s", peer, inviteTries)
	case Joined:
		return peer + " joined"
	case Answered:
		return fmt.Sprintf("%s answers within %.1f ms", peer, float64(n.Time+tick)/float64(time.Millisecond))
	case Left:
		return peer + " ended the session; what it held is released"
	case Restarted:
		return peer + " began anew; what it held is released"
	case Silent:
		return fmt.Sprintf("%s was silent for %.0f s; what it held is released", peer, n.Time.Seconds())
	case Unanswered:
		return fmt.Sprintf("nobody answers at %s, after %d invitations in as many seconds; is a session open there, and is it the control port (often 5004)?", peer, inviteTries)
	case Refused:
		return peer + " refused the session; it must let this computer in, and have room for another"
	case Asked:
		return fmt.Sprintf("%s asked to join and was refused; to let it in, open the port with @%s behind its name", peer, n.Peer.Addr())
	case Full:
		return fmt.Sprintf("%s asked to join and was refused; there are %d already", peer, maxSessions)
	}
	return fmt.Sprintf("packets of %s were lost (%d), and no journal of it makes up for them; what it held is released", peer, n.Packets)
}

// ends reports news after which one who invites has no session.
func (n News) ends() bool {
	switch n.What {
	case Left, Silent, Unanswered, Refused:
		return true
	}
	return false
}
