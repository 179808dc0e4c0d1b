package network

import (
	"bufio"
	"context"
	"net"
	"net/netip"
	"os"
	"os/exec"
	"testing"
	"time"

	"github.com/brutella/dnssd"
	"github.com/stretchr/testify/require"
)

// Anyone can announce anything: what is no session with an address is left out,
// and a name goes to a terminal.
func TestAnnouncementsAreTakenWithCare(t *testing.T) {
	v4, v6, local := net.ParseIP("192.0.2.9"), net.ParseIP("2001:db8::9"), net.ParseIP("fe80::9")
	for name, c := range map[string]struct {
		entry dnssd.BrowseEntry
		want  string
	}{
		"IPv4 comes first":              {dnssd.BrowseEntry{Name: "Choir", Port: 5004, IPs: []net.IP{v6, v4}}, "Choir 192.0.2.9:5004"},
		"IPv6 otherwise":                {dnssd.BrowseEntry{Name: "Choir", Port: 5004, IPs: []net.IP{v6}}, "Choir [2001:db8::9]:5004"},
		"an address of one link":        {dnssd.BrowseEntry{Name: "Choir", Port: 5004, IPs: []net.IP{local}, IfaceName: "eth0"}, "Choir [fe80::9%eth0]:5004"},
		"a name that acts on terminals": {dnssd.BrowseEntry{Name: "\x1b]0;Choir\a", Port: 5004, IPs: []net.IP{v4}}, "]0;Choir 192.0.2.9:5004"},
		"no address":                    {dnssd.BrowseEntry{Name: "Choir", Port: 5004}, ""},
		"half an address":               {dnssd.BrowseEntry{Name: "Choir", Port: 5004, IPs: []net.IP{{1, 2}}}, ""},
		"no port":                       {dnssd.BrowseEntry{Name: "Choir", IPs: []net.IP{v4}}, ""},
		"no port after it":              {dnssd.BrowseEntry{Name: "Choir", Port: 65535, IPs: []net.IP{v4}}, ""},
	} {
		f, ok := found(c.entry)
		require.Equal(t, c.want != "", ok, name)
		if ok {
			require.Equal(t, c.want, f.Name+" "+f.Peer.String(), name)
		}
	}
}

// announce has Debian's python3-zeroconf announce a session. (With both kinds of
// addresses: for a missing one version 0.47.3 writes a record without sense.)
const announce = `
import socket, sys, zeroconf
z = zeroconf.Zeroconf()
addresses = [socket.inet_aton("192.0.2.9"), socket.inet_pton(socket.AF_INET6, "2001:db8::9")]
z.register_service(zeroconf.ServiceInfo("_apple-midi._udp.local.", "Choir organ._apple-midi._udp.local.",
	port=5006, addresses=addresses, server="relay.local.", properties={"v": "1"}))
print("announced", flush=True)
sys.stdin.read()
z.close()
`

func TestSessionsThatOthersAnnounceAreFound(t *testing.T) {
	if len(dnssd.MulticastInterfaces()) == 0 {
		t.Skip("this computer is on no network that could be asked")
	}
	python := peer(t, "/usr/bin/python3")
	if exec.Command(python, "-c", "import zeroconf").Run() != nil && os.Getenv("TRUNDLE_PEERS") != "1" {
		t.Skip("python3-zeroconf is not installed")
	}
	cmd := exec.Command(python, "-c", announce)
	cmd.Stderr = os.Stderr
	stdin, err := cmd.StdinPipe()
	require.NoError(t, err)
	stdout, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	line, err := bufio.NewReader(stdout).ReadString('\n')
	require.NoError(t, err)
	require.Equal(t, "announced\n", line)
	var list []Found
	for range 10 { // packets may be lost
		ctx, cancel := context.WithTimeout(context.Background(), 2*time.Second)
		list, err = Discover(ctx)
		cancel()
		require.NoError(t, err)
		if len(list) > 0 {
			break
		}
	}
	require.Contains(t, list, Found{"Choir organ", netip.MustParseAddrPort("192.0.2.9:5006")})
	require.NoError(t, stdin.Close())
	require.NoError(t, cmd.Wait())
}
