package midiio

import (
	"cmp"
	"context"
	"fmt"
	"net"
	"net/netip"
	"strconv"
	"strings"
	"sync"
	"time"

	"trundle/midiio/network"
)

// Network is a port whose other end is on the network: an RTP-MIDI session.
type Network struct {
	node *network.Node

	// Waits reports that it goes on only when a peer has joined (Wait).
	Waits bool

	reading sync.Mutex
	read    []byte // received, not taken yet

	writing sync.Mutex
	split   Tokenizer
}

// defaultPort is the control port that most sessions have.
const defaultPort = "5004"

// openNetwork invites the peer at HOST or HOST:PORT.
func openNetwork(name string) (Port, error) {
	peer, err := resolve(name)
	if err != nil {
		return nil, err
	}
	node, err := network.Dial(peer)
	if err != nil {
		return nil, err
	}
	return &Network{node: node}, nil
}

// openListener waits for peers at PORT or ADDRESS:PORT, of whom those after an
// @ may join.
func openListener(name string, direction Direction) (Port, error) {
	at, names, _ := strings.Cut(name, "@")
	if !strings.Contains(at, ":") {
		at = "127.0.0.1:" + at
	}
	local, err := netip.ParseAddrPort(at)
	if err != nil || local.Port() == 0 || local.Port() == 1<<16-1 {
		return nil, fmt.Errorf("network-listen:%s: write network-listen:PORT, or the address of this computer and a port like 192.0.2.1:5004", name)
	}
	var peers []netip.Addr
	for _, peer := range strings.FieldsFunc(names, func(r rune) bool { return r == ',' }) {
		addr, err := lookUp(peer)
		if err != nil {
			return nil, err
		}
		peers = append(peers, addr)
	}
	if len(peers) == 0 && !local.Addr().IsLoopback() {
		return nil, fmt.Errorf("network-listen:%s: name the peers that may join, like network-listen:%s@192.0.2.7", name, at)
	}
	node, err := network.Listen(local, peers)
	if err != nil {
		return nil, err
	}
	return &Network{node: node, Waits: direction == Out}, nil
}

// resolve is the address of HOST or HOST:PORT.
func resolve(name string) (netip.AddrPort, error) {
	host, port, err := net.SplitHostPort(name)
	if err != nil {
		host, port = strings.Trim(name, "[]"), defaultPort
	}
	number, err := strconv.ParseUint(port, 10, 16)
	if err != nil || number == 0 || number == 1<<16-1 {
		return netip.AddrPort{}, fmt.Errorf("network:%s: %q is no port; it is from 1 to 65534, often %s", name, port, defaultPort)
	}
	addr, err := lookUp(host)
	return netip.AddrPortFrom(addr, uint16(number)), err
}

func lookUp(host string) (netip.Addr, error) {
	ctx, cancel := context.WithTimeout(context.Background(), 5*time.Second)
	defer cancel()
	addrs, err := net.DefaultResolver.LookupNetIP(ctx, "ip", host)
	if err != nil || len(addrs) == 0 {
		return netip.Addr{}, fmt.Errorf("no computer %s is known; write its name or address", host)
	}
	for _, a := range addrs {
		if a.Unmap().Is4() {
			return a.Unmap(), nil
		}
	}
	return addrs[0], nil
}

// News are of who joined, left or fell silent; they end with the port.
func (n *Network) News() <-chan network.News { return n.node.News() }

// Wait waits for a peer to join, or says why none will.
func (n *Network) Wait() error { return n.node.Wait() }

func (n *Network) ByteTime() time.Duration { return 0 }

func (n *Network) Close() error { return n.node.Close() }

func (n *Network) Read(p []byte) (int, error) {
	n.reading.Lock()
	defer n.reading.Unlock()
	for len(n.read) == 0 {
		commands, err := n.node.Receive()
		if err != nil {
			return 0, err
		}
		for _, c := range commands {
			n.read = append(n.read, stretch(c)...)
		}
	}
	size := copy(p, n.read)
	n.read = n.read[size:]
	return size, nil
}

// stretch are the bytes of a command in a stream: of a segment of system
// exclusive, without the marks where it goes on.
func stretch(command []byte) []byte {
	if first := command[0]; first != 0xF0 && first != sysExEnd {
		return command
	}
	if command[0] == sysExEnd {
		command = command[1:]
	}
	if last := len(command) - 1; command[last] != sysExEnd {
		command = command[:last] // F0: more follows; F4, F5: it is cut
	}
	return command
}

// Write sends the messages that are complete; the rest waits for its end.
func (n *Network) Write(p []byte) (int, error) {
	n.writing.Lock()
	defer n.writing.Unlock()
	var commands [][]byte
	var wrong error
	n.split.Feed(p, func(m Message) {
		c, err := command(m)
		if err == nil {
			commands = append(commands, c)
		}
		wrong = cmp.Or(wrong, err)
	})
	if len(commands) > 0 {
		if err := n.node.Send(commands); err != nil {
			return 0, err
		}
	}
	if wrong != nil {
		return 0, wrong
	}
	return len(p), nil
}

// command is a message, or a part of one, as a network session carries it.
func command(m Message) ([]byte, error) {
	first, last := byte(sysEx), byte(sysExEnd)
	switch m.Kind {
	case Whole:
		if m.Status != sysEx {
			return m.Bytes(), nil
		}
	case Begin:
		last = sysEx
	case More:
		first, last = sysExEnd, sysEx
	case End:
		first = sysExEnd
	default:
		return nil, fmt.Errorf("a network session carries whole messages only, not %s", m)
	}
	return append(append([]byte{first}, m.Body...), last), nil
}

// Network is the network session that an input listens to; nil is none.
func (in *Input) Network() *Network {
	in.mu.Lock()
	defer in.mu.Unlock()
	return networkOf(in.port)
}

// Network is the network session that an output sends to; nil is none.
func (o *Output) Network() *Network {
	o.mu.Lock()
	defer o.mu.Unlock()
	return networkOf(o.port)
}
