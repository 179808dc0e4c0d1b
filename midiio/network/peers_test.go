package network

import (
	"encoding/binary"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// peer is the path of another program; without it the test is skipped unless
// TRUNDLE_PEERS=1.
func peer(t *testing.T, program string) string {
	t.Helper()
	path, err := exec.LookPath(program)
	if err != nil && os.Getenv("TRUNDLE_PEERS") != "1" {
		t.Skipf("%s is not installed", program)
	}
	require.NoError(t, err)
	return path
}

// captured is a packet that an end of a world sent.
type captured struct {
	at   time.Duration
	from int
	d    Datagram
}

// capture writes packets into a pcap file, as IPv4.
func capture(t *testing.T, w *world, packets []captured) string {
	b := binary.LittleEndian.AppendUint32(nil, 0xA1B2C3D4)
	b = append(b, 2, 0, 4, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 0, 101, 0, 0, 0) // 101: raw IP
	for _, p := range packets {
		from, to := w.port(p.from, p.d.Data), p.d.Peer
		size := 28 + len(p.d.Bytes)
		for _, n := range []int{int(p.at / time.Second), int(p.at % time.Second / time.Microsecond), size, size} {
			b = binary.LittleEndian.AppendUint32(b, uint32(n))
		}
		b = append(b, 0x45, 0, byte(size>>8), byte(size), 0, 0, 0, 0, 64, 17, 0, 0)
		b = append(append(b, from.Addr().AsSlice()...), to.Addr().AsSlice()...)
		for _, n := range []int{int(from.Port()), int(to.Port()), size - 20, 0} {
			b = binary.BigEndian.AppendUint16(b, uint16(n))
		}
		b = append(b, p.d.Bytes...)
	}
	file := filepath.Join(t.TempDir(), "session.pcap")
	require.NoError(t, os.WriteFile(file, b, 0o600))
	return file
}
