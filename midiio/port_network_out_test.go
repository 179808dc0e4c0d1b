package midiio

import (
	"encoding/binary"
	"net"
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Who only sends reads nothing. However much the peer plays meanwhile, its
// packets are answered, or it would take us for gone.
func TestWhoOnlySendsAnswersAPeerThatPlays(t *testing.T) {
	p := newLonePeer(t)
	out, err := TalkTo("network:"+p.control.LocalAddr().String(), 0, NewClock())
	require.NoError(t, err)
	to := <-p.joined
	for sequence := range uint16(50) {
		_, err := p.data.WriteToUDPAddrPort(p.notes(sequence, 200), to)
		require.NoError(t, err)
		p.compare(t, to)
	}
	require.NoError(t, out.Close())
}

// lonePeer is one whom anybody may invite, in octets of the session protocol.
type lonePeer struct {
	control, data *net.UDPConn
	joined        chan netip.AddrPort // the data port of who invited
	answers       chan struct{}       // of who is asked for the time
}

func newLonePeer(t *testing.T) *lonePeer {
	p := &lonePeer{joined: make(chan netip.AddrPort, 1), answers: make(chan struct{}, 1)}
	var err error
	for p.data == nil {
		p.control, err = net.ListenUDP("udp", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
		require.NoError(t, err)
		next := p.control.LocalAddr().(*net.UDPAddr).Port + 1
		if p.data, err = net.ListenUDP("udp", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1), Port: next}); err != nil {
			p.data = nil
			require.NoError(t, p.control.Close())
		}
	}
	t.Cleanup(func() { _, _ = p.control.Close(), p.data.Close() })
	go p.listen(p.control)
	go p.listen(p.data)
	return p
}

func (p *lonePeer) listen(conn *net.UDPConn) {
	buffer := make([]byte, 1<<16)
	for {
		n, from, err := conn.ReadFromUDPAddrPort(buffer)
		if err != nil {
			return
		}
		b := buffer[:n]
		switch {
		case n >= 16 && string(b[:4]) == "\xFF\xFFIN":
			_, _ = conn.WriteToUDPAddrPort(append([]byte("\xFF\xFFOK\x00\x00\x00\x02"), append(b[8:12:12], "PEER"...)...), from)
			if conn == p.data {
				p.joined <- from
			}
		case n >= 9 && string(b[:4]) == "\xFF\xFFCK" && b[8] == 1:
			p.answers <- struct{}{}
		}
	}
}

// notes is a packet of so many notes that begin and end.
func (p *lonePeer) notes(sequence uint16, count int) []byte {
	list := []byte{0x90}
	for i := range count {
		if i > 0 {
			list = append(list, 0)
		}
		list = append(list, 60, byte(1-i%2))
	}
	b := binary.BigEndian.AppendUint16([]byte{0x80, 0x61}, sequence)
	b = append(b, 0, 0, 0, 0, 'P', 'E', 'E', 'R', 0x80|byte(len(list)>>8), byte(len(list)))
	return append(b, list...)
}

// compare asks for the time, and wants an answer.
func (p *lonePeer) compare(t *testing.T, to netip.AddrPort) {
	t.Helper()
	_, err := p.data.WriteToUDPAddrPort(append([]byte("\xFF\xFFCKPEER"), make([]byte, 28)...), to)
	require.NoError(t, err)
	select {
	case <-p.answers:
	case <-time.After(10 * time.Second):
		require.Fail(t, "no answer")
	}
}
