package network

import (
	"crypto/rand"
	"encoding/binary"
	"errors"
	"fmt"
	"net"
	"net/netip"
	"slices"
	"sync"
	"syscall"
	"time"
)

// Node is an endpoint with sockets and a clock.
type Node struct {
	control, data *net.UDPConn
	start         time.Time
	inviter       bool
	wake          chan struct{}
	news          chan News
	done          sync.WaitGroup

	mu       sync.Mutex
	changed  *sync.Cond
	endpoint Endpoint
	commands [][]byte // received, not read yet
	joined   bool     // a session was open at some time
	closed   bool
	err      error // why there will be no more
}

// maxWaiting is how many commands wait to be read before no more packets are
// taken from the socket. What the system then drops is a loss like others.
const maxWaiting = 4096

// Dial invites a peer by its control port, and waits until it has joined.
func Dial(peer netip.AddrPort) (*Node, error) {
	local, err := localTo(peer)
	if err != nil {
		return nil, err
	}
	n, err := bind(local, 0)
	if err != nil {
		return nil, err
	}
	n.inviter = true
	n.endpoint.Allow = func(netip.Addr) bool { return false }
	n.run()
	n.do(func(now time.Duration) Effects { return n.endpoint.Invite(now, peer) })
	if err := n.Wait(); err != nil {
		return nil, errors.Join(err, n.Close())
	}
	return n, nil
}

// Listen waits for peers on two ports, control and the one after it for data.
// Only the peers named may join. Where none is, on a loopback address,
// programs of this computer may.
func Listen(at netip.AddrPort, peers []netip.Addr) (*Node, error) {
	n, err := bind(at.Addr(), at.Port())
	if err != nil {
		return nil, err
	}
	n.endpoint.Allow = func(peer netip.Addr) bool {
		return slices.Contains(peers, peer) || len(peers) == 0 && at.Addr().IsLoopback() && peer.IsLoopback()
	}
	n.run()
	return n, nil
}

// localTo is our address on the way to a peer.
func localTo(peer netip.AddrPort) (netip.Addr, error) {
	conn, err := net.DialUDP("udp", nil, net.UDPAddrFromAddrPort(peer))
	if err != nil {
		return netip.Addr{}, fmt.Errorf("%s cannot be reached: %w", peer, reason(err))
	}
	defer conn.Close()
	return conn.LocalAddr().(*net.UDPAddr).AddrPort().Addr().Unmap(), nil
}

// bind opens two sockets on consecutive ports. Port 0 is any two of which the
// first is even, as RFC 3550 section 11 has it and some peers want it.
func bind(addr netip.Addr, port uint16) (*Node, error) {
	for range 100 {
		control, err := net.ListenUDP("udp", net.UDPAddrFromAddrPort(netip.AddrPortFrom(addr, port)))
		if err != nil {
			return nil, bindError(netip.AddrPortFrom(addr, port), err)
		}
		next := netip.AddrPortFrom(addr, control.LocalAddr().(*net.UDPAddr).AddrPort().Port()+1)
		data, err := net.ListenUDP("udp", net.UDPAddrFromAddrPort(next))
		if err == nil && (port != 0 || next.Port()%2 == 1) {
			return newNode(control, data), nil
		}
		if err == nil {
			err = data.Close()
		} else {
			err = bindError(next, err)
		}
		if err = errors.Join(err, control.Close()); port != 0 {
			return nil, err
		}
	}
	return nil, fmt.Errorf("%s has no two free ports in a row", addr)
}

func bindError(at netip.AddrPort, err error) error {
	if errors.Is(err, syscall.EADDRINUSE) {
		return fmt.Errorf("%s is in use: another program has a session there; choose another port", at)
	}
	return fmt.Errorf("%s cannot be opened: %w", at, reason(err))
}

// reason is an error without the operation and addresses before it.
func reason(err error) error {
	if of, ok := errors.AsType[*net.OpError](err); ok {
		return of.Err
	}
	return err
}

func newNode(control, data *net.UDPConn) *Node {
	n := &Node{
		control: control, data: data, start: time.Now().Add(-time.Second),
		wake: make(chan struct{}, 1), news: make(chan News, 64),
	}
	n.changed = sync.NewCond(&n.mu)
	n.endpoint.Random = random
	n.endpoint.Source = random()
	return n
}

func random() uint32 {
	var b [4]byte
	_, _ = rand.Read(b[:]) // never fails (crypto/rand)
	return binary.BigEndian.Uint32(b[:])
}

func (n *Node) run() {
	n.done.Add(3)
	go n.listen(n.control, false)
	go n.listen(n.data, true)
	go n.tick()
}

// Address is our control port.
func (n *Node) Address() netip.AddrPort { return n.control.LocalAddr().(*net.UDPAddr).AddrPort() }

// News is what happens to sessions; it is closed in the end. What is not read
// is lost after a while.
func (n *Node) News() <-chan News { return n.news }

// do has the endpoint do something, and does its effects.
func (n *Node) do(what func(now time.Duration) Effects) {
	n.mu.Lock()
	defer n.mu.Unlock()
	if !n.closed {
		n.effect(what(time.Since(n.start)))
	}
}

func (n *Node) effect(fx Effects) {
	for _, d := range fx.Send {
		conn := n.control
		if d.Data {
			conn = n.data
		}
		_, _ = conn.WriteToUDPAddrPort(d.Bytes, d.Peer) // what is not sent is a loss like others
	}
	n.commands = append(n.commands, fx.Commands...)
	for _, news := range fx.News {
		n.tell(news)
	}
	n.changed.Broadcast()
	select {
	case n.wake <- struct{}{}:
	default:
	}
}

func (n *Node) tell(news News) {
	select {
	case n.news <- news:
	default:
	}
	n.joined = n.joined || news.What == Joined
	if n.inviter && news.ends() {
		n.err = errors.New(news.String())
	}
}

func (n *Node) listen(conn *net.UDPConn, data bool) {
	defer n.done.Done()
	buffer := make([]byte, 1<<16)
	for {
		n.mu.Lock()
		for data && len(n.commands) > maxWaiting && !n.closed {
			n.changed.Wait()
		}
		n.mu.Unlock()
		size, peer, err := conn.ReadFromUDPAddrPort(buffer)
		if errors.Is(err, net.ErrClosed) {
			return
		}
		if err != nil {
			continue // an error of a packet that was sent is told here by some systems
		}
		peer = netip.AddrPortFrom(peer.Addr().Unmap(), peer.Port())
		n.do(func(now time.Duration) Effects {
			return n.endpoint.Receive(now, Datagram{data, peer, buffer[:size]})
		})
	}
}

func (n *Node) tick() {
	defer n.done.Done()
	timer := time.NewTimer(0)
	defer timer.Stop()
	for {
		select {
		case <-timer.C:
			n.do(n.endpoint.Tick)
		case <-n.wake:
		}
		n.mu.Lock()
		next, any := n.endpoint.Next()
		closed := n.closed
		n.mu.Unlock()
		if closed {
			return
		}
		if any {
			timer.Reset(max(0, next-time.Since(n.start)))
		}
	}
}

// Wait waits until a session is open, or says why there will be none.
func (n *Node) Wait() error {
	n.mu.Lock()
	defer n.mu.Unlock()
	for !n.joined && n.err == nil && !n.closed {
		n.changed.Wait()
	}
	return n.ended()
}

// ended is why no more can be done, if so.
func (n *Node) ended() error {
	if n.closed {
		return net.ErrClosed
	}
	return n.err
}

// Receive waits for the next commands. It fails after the node was closed, or
// the session with the peer whom we invited has ended.
func (n *Node) Receive() ([][]byte, error) {
	n.mu.Lock()
	defer n.mu.Unlock()
	for len(n.commands) == 0 && n.ended() == nil {
		n.changed.Wait()
	}
	commands := n.commands
	n.commands = nil
	n.changed.Broadcast()
	if len(commands) > 0 {
		return commands, nil
	}
	return nil, n.ended()
}

// Send sends commands (see Endpoint.Send) to all peers. It waits for the first
// one to join; later it does not wait, and who is not there misses them.
func (n *Node) Send(commands [][]byte) error {
	if err := n.Wait(); err != nil {
		return err
	}
	n.do(func(now time.Duration) Effects { return n.endpoint.Send(now, commands) })
	return nil
}

// linger is how long Close waits at most for peers to have all commands.
const linger = 500 * time.Millisecond

// Close waits a little for the peers to have all commands, and ends their
// sessions.
func (n *Node) Close() error {
	n.mu.Lock()
	if n.closed {
		n.mu.Unlock()
		return net.ErrClosed
	}
	until := time.Now().Add(linger)
	defer time.AfterFunc(linger, func() {
		n.mu.Lock()
		defer n.mu.Unlock()
		n.changed.Broadcast()
	}).Stop()
	for !n.endpoint.Settled() && time.Now().Before(until) {
		n.changed.Wait()
	}
	n.effect(n.endpoint.Close())
	n.closed = true
	n.mu.Unlock()
	err := errors.Join(n.control.Close(), n.data.Close())
	n.changed.Broadcast()
	n.done.Wait()
	close(n.news)
	return err
}
