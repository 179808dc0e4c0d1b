package network

import (
	"cmp"
	"context"
	"fmt"
	"net/netip"
	"slices"

	"github.com/brutella/dnssd"
	"github.com/brutella/dnssd/log"
)

// serviceType is the one registered for sessions in DNS-SD.
const serviceType = "_apple-midi._udp.local."

// Found is a session that a computer or device announces on the local network.
// Nothing vouches for it: any computer there can announce anything.
type Found struct {
	Name string
	Peer netip.AddrPort // its control port
}

// maxFound is how many announcements are taken.
const maxFound = 256

// Discover asks the local network for sessions (DNS-SD over multicast DNS, RFC
// 6763 and 6762) until the context is cancelled. They come sorted by name.
func Discover(ctx context.Context) ([]Found, error) {
	log.Info.Disable() // it would go to stdout
	// The library goes on reading for ever after a deadline, but not after this.
	asking, cancel := context.WithCancel(context.WithoutCancel(ctx))
	defer cancel()
	defer context.AfterFunc(ctx, cancel)()
	var list []Found
	err := dnssd.LookupType(asking, serviceType, func(e dnssd.BrowseEntry) {
		if f, ok := found(e); ok && len(list) < maxFound && !slices.Contains(list, f) {
			list = append(list, f)
		}
	}, func(dnssd.BrowseEntry) {})
	if asking.Err() == nil {
		return nil, fmt.Errorf("the local network cannot be asked for sessions: %w", reason(err))
	}
	slices.SortFunc(list, func(a, b Found) int {
		return cmp.Or(cmp.Compare(a.Name, b.Name), a.Peer.Compare(b.Peer))
	})
	return list, nil
}

// found is what an announcement says, by its first address, of IPv4 if it has
// one.
func found(e dnssd.BrowseEntry) (Found, bool) {
	var addresses []netip.Addr
	for _, ip := range e.IPs {
		if a, ok := netip.AddrFromSlice(ip); ok {
			addresses = append(addresses, a.Unmap())
		}
	}
	if len(addresses) == 0 || e.Port < 1 || e.Port >= 1<<16-1 {
		return Found{}, false
	}
	slices.SortStableFunc(addresses, func(a, b netip.Addr) int { return cmp.Compare(a.BitLen(), b.BitLen()) })
	a := addresses[0]
	if a.Is6() && a.IsLinkLocalUnicast() {
		a = a.WithZone(e.IfaceName)
	}
	return Found{parseName([]byte(e.Name)), netip.AddrPortFrom(a, uint16(e.Port))}, true
}
