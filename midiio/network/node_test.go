package network

import (
	"net"
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// await is the next news of a kind.
func await(t *testing.T, n *Node, what Happening) News {
	t.Helper()
	for limit := time.After(30 * time.Second); ; {
		select {
		case news := <-n.News():
			if news.What == what {
				return news
			}
		case <-limit:
			require.Fail(t, "no such news in time")
		}
	}
}

func loopback(port uint16) netip.AddrPort {
	return netip.AddrPortFrom(netip.MustParseAddr("127.0.0.1"), port)
}

// pair are two nodes on the loopback with a session between them.
func pair(t *testing.T) (inviter, invited *Node) {
	invited, err := Listen(loopback(0), nil)
	require.NoError(t, err)
	inviter, err = Dial(invited.Address())
	require.NoError(t, err)
	await(t, invited, Joined)
	return inviter, invited
}

func receive(t *testing.T, n *Node, want int) (commands [][]byte) {
	t.Helper()
	defer time.AfterFunc(30*time.Second, func() { _ = n.Close() }).Stop()
	for len(commands) < want {
		more, err := n.Receive()
		require.NoError(t, err)
		commands = append(commands, more...)
	}
	return commands
}

func TestNodesExchangeCommandsBothWays(t *testing.T) {
	inviter, invited := pair(t)
	chord := [][]byte{{0x90, 60, 100}, {0x90, 64, 100}, {0xF8}, {0xF0, 0x7E, 0x7F, 6, 1, 0xF7}, {0xC3, 5}}
	require.NoError(t, inviter.Send(chord))
	require.Equal(t, chord, receive(t, invited, len(chord)))
	require.NoError(t, invited.Send(chord))
	require.Equal(t, chord, receive(t, inviter, len(chord)))
	await(t, inviter, Answered)
	await(t, invited, Answered)

	require.NoError(t, inviter.Close())
	await(t, invited, Left)
	require.Equal(t, [][]byte{{0x80, 60, 64}, {0x80, 64, 64}}, receive(t, invited, 2), "what it held is released")
	require.NoError(t, invited.Close())
	require.ErrorIs(t, invited.Close(), net.ErrClosed)
}

func TestWhoInvitedIsToldThatThePeerLeft(t *testing.T) {
	inviter, invited := pair(t)
	require.NoError(t, invited.Send([][]byte{{0x90, 60, 100}}))
	require.Equal(t, [][]byte{{0x90, 60, 100}}, receive(t, inviter, 1))
	require.NoError(t, invited.Close())
	require.Equal(t, [][]byte{{0x80, 60, 64}}, receive(t, inviter, 1))
	_, err := inviter.Receive()
	require.ErrorContains(t, err, "ended the session")
	require.ErrorContains(t, inviter.Send([][]byte{{0xF8}}), "ended the session")
	require.NoError(t, inviter.Close())
}

func TestAPortThatIsTakenSaysSo(t *testing.T) {
	first, err := Listen(loopback(0), nil)
	require.NoError(t, err)
	_, err = Listen(first.Address(), nil)
	require.EqualError(t, err, first.Address().String()+" is in use: another program has a session there; choose another port")
	require.NoError(t, first.Close())
}

func TestStrangersAreRefusedAndToldOf(t *testing.T) {
	invited, err := Listen(loopback(0), []netip.Addr{netip.MustParseAddr("192.0.2.7")})
	require.NoError(t, err)
	_, err = Dial(invited.Address())
	require.EqualError(t, err, invited.Address().String()+" refused the session; it must let this computer in, and have room for another")
	require.Regexp(t, `^trundle at 127\.0\.0\.1:\d+ asked to join and was refused; to let it in, open the port with @127\.0\.0\.1 behind its name$`, await(t, invited, Asked).String())
	require.NoError(t, invited.Close())
}

// A reader who stands still costs packets, not memory, and in the end no note:
// what comes while the socket is not read is a loss as others are.
func TestAReaderWhoStandsStillGetsTheRightEnd(t *testing.T) {
	inviter, invited := pair(t)
	for range 100 {
		for key := range byte(100) {
			require.NoError(t, inviter.Send([][]byte{{0x90, key, 1}, {0x80, key, 1}}))
		}
	}
	require.NoError(t, inviter.Send([][]byte{{0x90, 127, 1}}))
	invited.mu.Lock()
	require.Less(t, len(invited.commands), 3*maxWaiting)
	invited.mu.Unlock()
	heard := newInstrument()
	for !heard.notes[[2]byte{0, 127}] {
		for _, c := range receive(t, invited, 1) {
			heard.play(c)
		}
	}
	require.Len(t, heard.notes, 1)
	require.NoError(t, inviter.Close())
	require.NoError(t, invited.Close())
}

// BenchmarkSetUp is the time from an invitation to an open session on the
// loopback, both ends ours.
func BenchmarkSetUp(b *testing.B) {
	for b.Loop() {
		b.StopTimer()
		invited, err := Listen(loopback(0), nil)
		require.NoError(b, err)
		b.StartTimer()
		inviter, err := Dial(invited.Address())
		require.NoError(b, err)
		b.StopTimer()
		require.NoError(b, inviter.Close())
		require.NoError(b, invited.Close())
		b.StartTimer()
	}
}
