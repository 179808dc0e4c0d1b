package midiio

import (
	"bytes"
	"net/netip"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/midiio/network"
)

// session are two ports with a session between them, by their names.
func session(t *testing.T) (inviter, invited *Network) {
	at, name := freePort(t)
	opened, err := Open("network-listen:"+at, In)
	require.NoError(t, err)
	invited = opened.(*Network)
	opened, err = Open(name, Out)
	require.NoError(t, err)
	return opened.(*Network), invited
}

// freePort is an address that was free, and the name of a session there.
func freePort(t *testing.T) (at, name string) {
	node, err := network.Listen(netip.MustParseAddrPort("127.0.0.1:0"), nil)
	require.NoError(t, err)
	defer node.Close()
	return node.Address().String(), "network:" + node.Address().String()
}

// Bytes go in and come out as they were, however they are split, but for
// running status and where real time stands in system exclusive; one longer
// than a tokenizer keeps travels in parts.
func TestASessionCarriesAStream(t *testing.T) {
	long := append(bytes.Repeat([]byte{1, 2, 3}, 2000), 0xF7)
	in := append([]byte{0x90, 60, 100, 64, 100, 0xF8, 0xF0, 0x7E, 0xF7, 0xF0}, long...)
	in = append(in, 0xF2, 1, 2, 0xC5, 7)
	want := append([]byte{0x90, 60, 100, 0x90, 64, 100, 0xF8, 0xF0, 0x7E, 0xF7, 0xF0}, long...)
	want = append(want, 0xF2, 1, 2, 0xC5, 7)
	for _, size := range []int{1, 7, len(in)} {
		t.Run(strconv.Itoa(size), func(t *testing.T) {
			inviter, invited := session(t)
			defer inviter.Close()
			defer time.AfterFunc(30*time.Second, func() { _ = invited.Close() }).Stop()
			for at := 0; at < len(in); at += size {
				_, err := inviter.Write(in[at:min(at+size, len(in))])
				require.NoError(t, err)
			}
			var got []byte
			buffer := make([]byte, 100)
			for len(got) < len(want) {
				n, err := invited.Read(buffer)
				require.NoError(t, err)
				got = append(got, buffer[:n]...)
			}
			require.Equal(t, want, got)
			require.NoError(t, invited.Close())
		})
	}
}

// What ends a message before its end is kept out of the session, and told.
func TestASessionTakesNoFaults(t *testing.T) {
	inviter, invited := session(t)
	defer invited.Close()
	for text, wrong := range map[string][]byte{
		"unfinished 90 3C": {0x90, 60, 0x80}, "undefined F4": {0xF4}, "no-status 3C": {60}, "sysex-cut 7E": {0xF0, 0x7E, 0xC0},
	} {
		_, err := inviter.Write(append(wrong, 0xF6))
		require.ErrorContains(t, err, "a network session carries whole messages only, not "+text)
	}
	require.NoError(t, inviter.Close())
}

// A peer that goes is looked for by its address; what it held is released.
func TestAPeerThatReturnsIsFoundAgain(t *testing.T) {
	at, name := freePort(t)
	listen := func() *network.Node {
		node, err := network.Listen(netip.MustParseAddrPort(at), nil)
		require.NoError(t, err)
		return node
	}
	peer := listen()
	in, err := ListenTo(name, NewClock())
	require.NoError(t, err)
	heard := func(want ...string) {
		t.Helper()
		var got []string
		for len(got) < len(want) {
			select {
			case <-in.Ready():
			case <-time.After(30 * time.Second):
				require.Fail(t, "nothing is heard")
			}
			for _, m := range in.Take().Messages {
				got = append(got, m.Message.String())
			}
		}
		require.Equal(t, want, got)
	}
	require.NoError(t, peer.Send([][]byte{{0x90, 60, 100}}))
	heard("note-on 1 60/C4 100")
	require.NoError(t, peer.Close())
	heard("note-off 1 60/C4 64", "port-gone")
	peer = listen()
	heard("port-back")
	require.NoError(t, peer.Send([][]byte{{0x90, 61, 100}}))
	heard("note-on 1 61/C#4 100")
	require.NoError(t, in.Close())
	require.NoError(t, peer.Close())
}

// While nobody answers, closing does not wait for the invitations to end.
func TestClosingDoesNotWaitForAPeer(t *testing.T) {
	at, name := freePort(t)
	peer, err := network.Listen(netip.MustParseAddrPort(at), nil)
	require.NoError(t, err)
	out, err := TalkTo(name, 0, NewClock())
	require.NoError(t, err)
	gone := make(chan error, 10)
	out.Return(name, func(err error) { gone <- err })
	require.NoError(t, peer.Close())
	require.Eventually(t, func() bool {
		out.Send(Message{Status: 0xF8})
		return len(gone) > 0
	}, 10*time.Second, time.Millisecond)
	require.ErrorContains(t, <-gone, "ended the session")
	time.Sleep(2 * lookAgain) // into an invitation
	begun := time.Now()
	require.ErrorIs(t, out.Close(), errAway)
	require.Less(t, time.Since(begun), 5*time.Second)
}

func TestNamesOfSessionsThatAreNoneAreToldOf(t *testing.T) {
	for name, want := range map[string]string{
		"network:127.0.0.1:0":                     `network:127.0.0.1:0: "0" is no port; it is from 1 to 65534, often 5004`,
		"network:127.0.0.1:65535":                 `network:127.0.0.1:65535: "65535" is no port; it is from 1 to 65534, often 5004`,
		"network:no.such.invalid":                 "no computer no.such.invalid is known; write its name or address",
		"network-listen:nine":                     "network-listen:nine: write network-listen:PORT, or the address of this computer and a port like 192.0.2.1:5004",
		"network-listen:0.0.0.0:5004":             "network-listen:0.0.0.0:5004: name the peers that may join, like network-listen:0.0.0.0:5004@192.0.2.7",
		"network-listen:192.0.2.1:5004@x.invalid": "no computer x.invalid is known; write its name or address",
	} {
		_, err := Open(name, In)
		require.EqualError(t, err, want)
	}
}
