package network

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// However hostile: a packet that is read can be written and is read the same.
func FuzzParsePacket(f *testing.F) {
	for _, v := range vectors {
		f.Add(octets(f, v.octets))
	}
	f.Add(octets(f, "80 61 00 01 00 00 00 00 00 00 00 01 40 60 01 02 80 04 aa bb 80 10 78 80 87 64 80 04 aa bb 80 40 81 f0 bc e4"))
	f.Add(octets(f, "80 e1 00 01 00 00 00 00 00 00 00 01 80 10 f0 7d 01 f0 00 f7 02 f0 00 f7 03 f7 00 f0 7d f5"))
	f.Fuzz(func(t *testing.T, b []byte) {
		p, err := ParsePacket(b)
		if err != nil {
			return
		}
		again, err := ParsePacket(p.Append(nil))
		require.NoError(t, err)
		require.Equal(t, p, again)
	})
}

// most is how many commands a packet can bring about: those of the longest
// list, a repair of everything on 16 channels, and before it a release.
const most = 4095 + 16*(128+4*128+7)

// Whatever packets come, in whatever order: nothing panics, what is sent in
// return can be read, and what is held stays bounded.
func FuzzReceive(f *testing.F) {
	seed := func(packets ...[]byte) {
		var all []byte
		for i, b := range packets {
			all = append(append(all, byte(i), byte(len(b))), b...)
		}
		f.Add(all)
	}
	for _, v := range vectors {
		b := octets(f, v.octets)
		b[8], b[9], b[10], b[11] = 0, 0, 0, 1 // of the session's peer
		seed(nil, b)
	}
	seed(Exchange{Invite, 7, 1, "x"}.append(nil), Exchange{Invite, 7, 1, ""}.append(nil), Exchange{Bye, 7, 1, ""}.append(nil))
	seed(Feedback{1, 1 << 16}.append(nil), Sync{1, 0, [3]uint64{1, 2, 3}}.append(nil), nil, Sync{1, 2, [3]uint64{1, 2, 3}}.append(nil))
	f.Fuzz(func(t *testing.T, all []byte) {
		w := newWorld(0, time.Millisecond)
		w.join(t)
		e := w.ends[1]
		for len(all) >= 2 {
			size := min(int(all[1]), len(all)-2)
			data, b := all[0]&1 > 0, all[2:2+size]
			all = all[2+size:]
			w.now += 20 * time.Millisecond
			fx := e.Receive(w.now, Datagram{data, w.port(0, data), b})
			require.LessOrEqual(t, len(fx.Commands), most)
			ticked := e.Tick(w.now)
			for _, d := range append(fx.Send, ticked.Send...) {
				if parseExchange(d.Bytes) == nil {
					_, err := ParsePacket(d.Bytes)
					require.NoError(t, err)
				}
			}
			require.LessOrEqual(t, len(e.sessions), maxSessions)
		}
	})
}
