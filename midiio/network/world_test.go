package network

import (
	"math/rand/v2"
	"net/netip"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// world is a network with two endpoints in time that is only counted. Packets
// are lost, overtake each other and come twice, by chance but the same in each
// run.
type world struct {
	now       time.Duration
	random    *rand.Rand
	loss      float64
	most      time.Duration // delay of a packet, from 1 ms up
	deaf      bool          // no feedback arrives
	ends      [2]*Endpoint
	addresses [2]netip.Addr
	flying    []flight
	heard     [2][]Effects
	sent      int // packets
	lost      int
}

type flight struct {
	at time.Duration
	to int
	d  Datagram
}

const testPort = 5004

func newWorld(loss float64, most time.Duration) *world {
	w := &world{
		now: time.Second, random: rand.New(rand.NewPCG(1, 2)), loss: loss, most: most,
		addresses: [2]netip.Addr{netip.MustParseAddr("192.0.2.1"), netip.MustParseAddr("192.0.2.2")},
	}
	for i := range w.ends {
		w.ends[i] = &Endpoint{Source: uint32(i + 1), Random: w.random.Uint32, Allow: func(a netip.Addr) bool { return slices.Contains(w.addresses[:], a) }}
	}
	return w
}

func (w *world) port(of int, data bool) netip.AddrPort {
	if data {
		return netip.AddrPortFrom(w.addresses[of], testPort+1)
	}
	return netip.AddrPortFrom(w.addresses[of], testPort)
}

// do has one end's effects happen.
func (w *world) do(end int, fx Effects) {
	w.heard[end] = append(w.heard[end], fx)
	for _, d := range fx.Send {
		w.sent++
		copies := 1
		if w.loss > 0 && w.random.IntN(100) == 0 {
			copies = 2
		}
		_, feedback := parseExchange(d.Bytes).(Feedback)
		if w.random.Float64() < w.loss || w.deaf && feedback {
			w.lost, copies = w.lost+1, 0
		}
		for range copies {
			at := w.now + time.Millisecond
			if w.most > time.Millisecond {
				at += time.Duration(w.random.Int64N(int64(w.most - time.Millisecond)))
			}
			w.flying = append(w.flying, flight{at, 1 - end, Datagram{d.Data, w.port(end, d.Data), slices.Clone(d.Bytes)}})
		}
	}
}

// step goes on to the next thing that happens, at most to until. It tells which
// end received a packet, or -1.
func (w *world) step(until time.Duration) int {
	next, arriving := until, -1
	for i, f := range w.flying {
		if f.at <= next {
			next, arriving = f.at, i
		}
	}
	ticking := -1
	for i, e := range w.ends {
		if at, any := e.Next(); any && at < next {
			next, ticking = at, i
		}
	}
	w.now = max(w.now, next)
	switch {
	case ticking >= 0:
		w.do(ticking, w.ends[ticking].Tick(w.now))
	case arriving >= 0:
		f := w.flying[arriving]
		w.flying = slices.Delete(w.flying, arriving, arriving+1)
		w.do(f.to, w.ends[f.to].Receive(w.now, f.d))
		return f.to
	}
	return -1
}

// run goes on until a time.
func (w *world) run(until time.Duration) {
	for w.now < until {
		w.step(until)
	}
}

// join opens a session from end 0 to end 1.
func (w *world) join(t require.TestingT) {
	w.do(0, w.ends[0].Invite(w.now, w.port(1, false)))
	for w.ends[0].Open()+w.ends[1].Open() < 2 {
		require.Less(t, w.now, 30*time.Second, "no session in time")
		w.step(w.now + time.Second)
	}
}

// taken are the commands that an end heard since it was asked last.
func (w *world) taken(end int) (commands [][]byte) {
	for _, fx := range w.heard[end] {
		commands = append(commands, fx.Commands...)
	}
	w.heard[end] = nil
	return commands
}

// news are what an end has told, and what it says of it.
func (w *world) news(end int) (all []Happening) {
	for _, fx := range w.heard[end] {
		for _, n := range fx.News {
			all = append(all, n.What)
		}
	}
	return all
}

// instrument is what one who plays commands has, kept in the plainest way.
type instrument struct {
	notes   map[[2]byte]bool // by channel and key
	values  map[[2]byte]byte // by channel and controller
	program map[byte]byte
	wheel   map[byte][2]byte
	pressed map[[2]byte]byte // by channel and key; 128 is the whole channel
}

func newInstrument() *instrument {
	return &instrument{map[[2]byte]bool{}, map[[2]byte]byte{}, map[byte]byte{}, map[byte][2]byte{}, map[[2]byte]byte{}}
}

func (i *instrument) play(c []byte) {
	channel := c[0] & 0x0F
	switch c[0] & 0xF0 {
	case 0x80:
		delete(i.notes, [2]byte{channel, c[1]})
	case 0x90:
		if c[2] == 0 {
			delete(i.notes, [2]byte{channel, c[1]})
		} else {
			i.notes[[2]byte{channel, c[1]}] = true
		}
	case 0xB0:
		if c[1] >= 120 {
			for n := range i.notes {
				if n[0] == channel {
					delete(i.notes, n)
				}
			}
			for n := range i.pressed {
				if n[0] == channel {
					delete(i.pressed, n)
				}
			}
			return
		}
		i.values[[2]byte{channel, c[1]}] = c[2]
	case 0xA0:
		i.pressed[[2]byte{channel, c[1]}] = c[2]
	case 0xD0:
		i.pressed[[2]byte{channel, 128}] = c[1]
	case 0xC0:
		i.program[channel] = c[1]
	case 0xE0:
		i.wheel[channel] = [2]byte{c[1], c[2]}
	}
}

func (i *instrument) copy() *instrument {
	c := newInstrument()
	for k, v := range i.notes {
		c.notes[k] = v
	}
	for k, v := range i.values {
		c.values[k] = v
	}
	for k, v := range i.pressed {
		c.pressed[k] = v
	}
	for k, v := range i.program {
		c.program[k] = v
	}
	for k, v := range i.wheel {
		c.wheel[k] = v
	}
	return c
}

// tune is music: notes that begin and end, and now and then a controller, a
// program, a bend, a pressure, or a channel silenced.
type tune struct {
	random *rand.Rand
	ends   []ending
	left   int // notes to begin
}

type ending struct {
	at   time.Duration
	note [2]byte
}

// next is when the next thing is played, and what.
func (u *tune) next(now time.Duration) (at time.Duration, commands [][]byte) {
	at = now + time.Duration(u.random.IntN(40))*time.Millisecond
	i := 0
	for u.left == 0 && i < len(u.ends) {
		at = max(at, u.ends[i].at)
		i++
	}
	u.ends = slices.DeleteFunc(u.ends, func(e ending) bool {
		if e.at > at {
			return false
		}
		commands = append(commands, []byte{0x80 | e.note[0], e.note[1], 64})
		return true
	})
	channel := byte(u.random.IntN(4))
	if u.left > 0 {
		u.left--
		note := [2]byte{channel, byte(36 + u.random.IntN(61))}
		commands = append(commands, []byte{0x90 | channel, note[1], byte(1 + u.random.IntN(127))})
		u.ends = append(u.ends, ending{at + time.Duration(10+u.random.IntN(500))*time.Millisecond, note})
	}
	value := byte(u.random.IntN(128))
	switch u.random.IntN(60) {
	case 0, 1, 2:
		commands = append(commands, []byte{0xB0 | channel, []byte{1, 7, 11, 64, 91}[u.random.IntN(5)], value})
	case 3:
		commands = append(commands, []byte{0xB0 | channel, 0, value}, []byte{0xB0 | channel, 32, value / 2}, []byte{0xC0 | channel, value})
	case 4:
		commands = append(commands, []byte{0xE0 | channel, value, 127 - value})
	case 5:
		commands = append(commands, []byte{0xB0 | channel, 123, 0})
	case 6:
		commands = append(commands, []byte{0xC0 | channel, value})
	case 7:
		commands = append(commands, []byte{0xD0 | channel, value})
	case 8, 9:
		commands = append(commands, []byte{0xA0 | channel, byte(60 + u.random.IntN(8)), value})
	}
	return at, commands
}

// The mandate of RFC 6295 section 4: no artefact of a loss lasts. After every
// packet that is taken, who hears has what the sender had when he sent it.
func TestLossAndReorderingLeaveNoNoteSounding(t *testing.T) {
	for name, c := range map[string]struct {
		loss float64
		deaf bool
	}{
		"1 percent":                  {0.01, false},
		"10 percent":                 {0.1, false},
		"30 percent":                 {0.3, false},
		"30 percent and no feedback": {0.3, true},
	} {
		t.Run(name, func(t *testing.T) {
			w := newWorld(c.loss, 60*time.Millisecond)
			w.deaf = c.deaf
			w.join(t)
			w.taken(1)
			played, heard := newInstrument(), newInstrument()
			after := map[uint16]*instrument{} // by sequence number
			u := &tune{random: w.random, left: 20_000}
			sender, receiver := w.ends[0].sessions[0], w.ends[1].sessions[0]
			follow := func(until time.Duration) {
				for w.now < until {
					before := sender.seq
					end := w.step(until)
					if sender.seq != before { // a guard packet
						after[uint16(sender.seq)] = played.copy()
					}
					if end != 1 {
						continue
					}
					for _, c := range w.taken(1) {
						heard.play(c)
					}
					if receiver.begun {
						require.Equal(t, after[receiver.last], heard)
					}
				}
			}
			for u.left > 0 || len(u.ends) > 0 {
				at, commands := u.next(w.now)
				follow(at)
				if len(commands) == 0 {
					continue
				}
				for _, c := range commands {
					played.play(c)
				}
				w.do(0, w.ends[0].Send(w.now, commands))
				after[uint16(sender.seq)] = played.copy()
				if len(after) > 20_000 {
					delete(after, uint16(sender.seq-20_000))
				}
			}
			require.Empty(t, played.notes)
			for begun := w.now; !w.ends[0].Settled() && !(c.deaf && len(heard.notes) == 0); {
				require.Less(t, w.now-begun, time.Minute)
				follow(w.now + 10*time.Millisecond)
			}
			require.Equal(t, played, heard)
			require.Equal(t, 1, w.ends[0].Open(), "the session lasts")
			require.Greater(t, w.lost, int(float64(w.sent)*c.loss/2))
			t.Logf("%d packets, %d of them lost", w.sent, w.lost)
		})
	}
}
