package network

import (
	"fmt"
	"os/exec"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// shown is what tshark shows of a packet: the fields by name, each with all its
// values in order.
type shown map[string][]string

// dissect has tshark read packets. It must call none malformed, and have
// nothing else to remark.
func dissect(t *testing.T, w *world, packets []captured, fields []string) []shown {
	t.Helper()
	args := []string{"-r", capture(t, w, packets), "-T", "fields", "-E", "separator=/t", "-E", "occurrence=a", "-E", "aggregator= ",
		"-d", "udp.port==5005,rtp", "-d", "rtp.pt==97,rtpmidi", "-e", "_ws.expert"}
	for _, f := range fields {
		args = append(args, "-e", f)
	}
	out, err := exec.Command(peer(t, "tshark"), args...).Output()
	require.NoError(t, err)
	var all []shown
	for line := range strings.Lines(string(out)) {
		columns := strings.Split(strings.TrimSuffix(line, "\n"), "\t")
		require.Empty(t, columns[0], "packet %d: % X", len(all)+1, packets[len(all)].d.Bytes)
		s := shown{}
		for i, f := range fields {
			if values := strings.Fields(columns[i+1]); len(values) > 0 {
				s[f] = values
			}
		}
		all = append(all, s)
	}
	require.Len(t, all, len(packets))
	return all
}

// add adds a value to a field.
func (s shown) add(field, format string, values ...any) {
	s[field] = append(s[field], fmt.Sprintf(format, values...))
}

func flag(b bool) int {
	if b {
		return 1
	}
	return 0
}

var exchangeFields = []string{
	"applemidi.command", "applemidi.protocol_version", "applemidi.initiator_token", "applemidi.sender_ssrc", "applemidi.name",
	"applemidi.count", "applemidi.timestamp1", "applemidi.timestamp2", "applemidi.timestamp3", "applemidi.rtp_sequence_number",
}

// exchangeAs is a packet of the session as tshark should show it.
func exchangeAs(x any) shown {
	s := shown{}
	switch x := x.(type) {
	case Exchange:
		s.add("applemidi.command", "0x%x", string(x.Word))
		s.add("applemidi.protocol_version", "2")
		s.add("applemidi.initiator_token", "0x%08x", x.Token)
		s.add("applemidi.sender_ssrc", "0x%08x", x.Source)
		if x.Name != "" {
			s.add("applemidi.name", "%s", x.Name)
		}
	case Sync:
		s.add("applemidi.command", "0x%x", "CK")
		s.add("applemidi.sender_ssrc", "0x%08x", x.Source)
		s.add("applemidi.count", "%d", x.Count)
		for i, at := range x.Times {
			s.add(fmt.Sprintf("applemidi.timestamp%d", i+1), "0x%016x", at)
		}
	case Feedback:
		s.add("applemidi.command", "0x%x", "RS")
		s.add("applemidi.sender_ssrc", "0x%08x", x.Source)
		s.add("applemidi.rtp_sequence_number", "%d", x.Value>>16)
	}
	return s
}

var packetFields = []string{
	"rtp.marker", "rtp.seq", "rtp.timestamp", "rtp.ssrc", "rtpmidi.j_flag", "rtpmidi.z_flag", "rtpmidi.p_flag",
	"rtpmidi.channel_status", "rtpmidi.common_status", "rtpmidi.channel", "rtpmidi.note", "rtpmidi.velocity",
	"rtpmidi.controller", "rtpmidi.controller_value", "rtpmidi.program", "rtpmidi.pressure", "rtpmidi.channel_pressure", "rtpmidi.deltatime_1", "rtpmidi.deltatime_2",
	"rtpmidi.s_flag", "rtpmidi.check_Seq_num", "rtpmidi.chanjour_s", "rtpmidi.chanjour_channel",
	"rtpmidi.cj_chapter_p_sflag", "rtpmidi.cj_chapter_p_program", "rtpmidi.cj_chapter_p_bflag", "rtpmidi.cj_chapter_p_bank_msb", "rtpmidi.cj_chapter_p_bank_lsb",
	"rtpmidi.cj_chapter_c_number", "rtpmidi.cj_chapter_c_value", "rtpmidi.cj_chapter_c_alt",
	"rtpmidi.cj_chapter_w_sflag", "rtpmidi.cj_chapter_w_first", "rtpmidi.cj_chapter_w_second",
	"rtpmidi.cj_chapter_n_bflag", "rtpmidi.cj_chapter_n_log_sflag", "rtpmidi.cj_chapter_n_log_note", "rtpmidi.cj_chapter_n_log_yflag",
	"rtpmidi.cj_chapter_n_log_velocity", "rtpmidi.cj_chapter_n_log_octet",
	"rtpmidi.cj_chapter_t_sflag", "rtpmidi.cj_chapter_t_pressure",
	"rtpmidi.cj_chapter_a_sflag",
	"rtpmidi.cj_chapter_a_log_sflag", "rtpmidi.cj_chapter_a_log_note", "rtpmidi.cj_chapter_a_log_xflag", "rtpmidi.cj_chapter_a_log_pressure",
}

// packetAs is an RTP packet as tshark should show it.
func packetAs(p Packet) shown {
	s := shown{}
	s.add("rtp.marker", "%d", flag(len(p.Commands) > 0))
	s.add("rtp.seq", "%d", p.Sequence)
	s.add("rtp.timestamp", "%d", p.Time)
	s.add("rtp.ssrc", "0x%08x", p.Source)
	s.add("rtpmidi.j_flag", "%d", flag(p.Journal != nil))
	s.add("rtpmidi.z_flag", "%d", flag(len(p.Commands) > 0 && p.Commands[0].Delta > 0))
	s.add("rtpmidi.p_flag", "%d", flag(p.Phantom))
	for i, c := range p.Commands {
		if i > 0 || c.Delta > 0 {
			size := len(appendDelta(nil, c.Delta))
			s.add(fmt.Sprintf("rtpmidi.deltatime_%d", size), "0x%0*x", 2*size, c.Delta)
		}
		s.command(c.Bytes)
	}
	if p.Journal == nil {
		return s
	}
	s.add("rtpmidi.check_Seq_num", "%d", p.Journal.Checkpoint)
	anyLast := false
	for _, c := range p.Journal.Channels {
		anyLast = s.channel(c) || anyLast
	}
	s.add("rtpmidi.s_flag", "%d", flag(!anyLast))
	return s
}

func (s shown) command(c []byte) {
	if c[0] >= 0xF0 {
		s.add("rtpmidi.common_status", "0x%02x", c[0])
		if c[0] == 0xF0 {
			s.add("rtpmidi.common_status", "0x%02x", c[len(c)-1])
		}
		return
	}
	s.add("rtpmidi.channel_status", "0x%02x", c[0]>>4)
	s.add("rtpmidi.channel", "0x%02x", c[0]&0x0F)
	switch c[0] & 0xF0 {
	case 0x80, 0x90:
		s.add("rtpmidi.note", "%d", c[1])
		s.add("rtpmidi.velocity", "%d", c[2])
	case 0xB0:
		s.add("rtpmidi.controller", "%d", c[1])
		s.add("rtpmidi.controller_value", "%d", c[2])
	case 0xC0:
		s.add("rtpmidi.program", "%d", c[1])
	case 0xA0:
		s.add("rtpmidi.note", "%d", c[1])
		s.add("rtpmidi.pressure", "%d", c[2])
	case 0xD0:
		s.add("rtpmidi.channel_pressure", "%d", c[1])
	}
}

// channel reports whether any of it is of the packet just before.
func (s shown) channel(c ChannelJournal) (last bool) {
	if p := c.Program; p != nil {
		last = last || p.Last
		s.add("rtpmidi.cj_chapter_p_sflag", "%d", flag(!p.Last))
		s.add("rtpmidi.cj_chapter_p_program", "%d", p.Program)
		s.add("rtpmidi.cj_chapter_p_bflag", "%d", flag(p.HasBank))
		s.add("rtpmidi.cj_chapter_p_bank_msb", "0x%02x", p.Bank[0])
		s.add("rtpmidi.cj_chapter_p_bank_lsb", "0x%02x", p.Bank[1])
	}
	for _, l := range c.Controls {
		last = last || l.Last
		s.add("rtpmidi.cj_chapter_c_number", "%d", l.Number)
		if l.Tool == ByValue {
			s.add("rtpmidi.cj_chapter_c_value", "0x%02x", l.Value)
		} else {
			s.add("rtpmidi.cj_chapter_c_alt", "0x%02x", l.Value)
		}
	}
	if w := c.Wheel; w != nil {
		last = last || w.Last
		s.add("rtpmidi.cj_chapter_w_sflag", "%d", flag(!w.Last))
		s.add("rtpmidi.cj_chapter_w_first", "0x%02x", w.Data[0])
		s.add("rtpmidi.cj_chapter_w_second", "0x%02x", w.Data[1])
	}
	if len(c.Notes)+len(c.Off) > 0 {
		last = last || c.OffLast
		s.add("rtpmidi.cj_chapter_n_bflag", "%d", flag(!c.OffLast))
	}
	for _, n := range c.Notes {
		last = last || n.Last
		s.add("rtpmidi.cj_chapter_n_log_sflag", "%d", flag(!n.Last))
		s.add("rtpmidi.cj_chapter_n_log_note", "%d", n.Note)
		s.add("rtpmidi.cj_chapter_n_log_yflag", "%d", flag(n.Play))
		s.add("rtpmidi.cj_chapter_n_log_velocity", "%d", n.Velocity)
	}
	for _, bits := range offBits(c) {
		s.add("rtpmidi.cj_chapter_n_log_octet", "0x%02x", bits)
	}
	if p := c.Pressure; p != nil {
		last = last || p.Last
		s.add("rtpmidi.cj_chapter_t_sflag", "%d", flag(!p.Last))
		s.add("rtpmidi.cj_chapter_t_pressure", "%d", p.Value)
	}
	if len(c.Keys) > 0 { // tshark 4.0.17 shows another octet as its length
		any := slices.ContainsFunc(c.Keys, func(k KeyLog) bool { return k.Last })
		last = last || any
		s.add("rtpmidi.cj_chapter_a_sflag", "%d", flag(!any))
	}
	for _, k := range c.Keys {
		s.add("rtpmidi.cj_chapter_a_log_sflag", "%d", flag(!k.Last))
		s.add("rtpmidi.cj_chapter_a_log_note", "%d", k.Note)
		s.add("rtpmidi.cj_chapter_a_log_xflag", "0")
		s.add("rtpmidi.cj_chapter_a_log_pressure", "%d", k.Value)
	}
	s.add("rtpmidi.chanjour_s", "%d", flag(!last))
	s.add("rtpmidi.chanjour_channel", "0x%06x", c.Channel-1)
	return last
}

// offBits are the octets of a channel's notes that are off.
func offBits(c ChannelJournal) []byte {
	if len(c.Off) == 0 {
		return nil
	}
	first, last := c.Off[0]/8, c.Off[len(c.Off)-1]/8
	bits := make([]byte, last-first+1)
	for _, note := range c.Off {
		bits[note/8-first] |= 1 << (7 - note%8)
	}
	return bits
}

// padded is a packet for tshark 4.0.17, which takes so many octets for notes
// that are off as there are notes on: where the packet ends sooner it calls it
// malformed. (Of the same journal with zeros behind it, it shows the same.)
func padded(b []byte, p Packet) []byte {
	if p.Journal == nil || len(p.Journal.Channels) == 0 {
		return b
	}
	c := p.Journal.Channels[len(p.Journal.Channels)-1]
	if bits := len(offBits(c)); bits > 0 && bits < len(c.Notes) {
		return append(slices.Clone(b), make([]byte, len(c.Notes)-bits)...)
	}
	return b
}

// Every packet of a session, with losses so that journals are long: tshark
// finds nothing malformed and shows in each what we say is in it.
func TestTsharkReadsEveryPacketAsItIsMeant(t *testing.T) {
	peer(t, "tshark")
	w := newWorld(0.1, 60*time.Millisecond)
	var packets []captured
	collect := func() {
		for end := range w.heard {
			for _, fx := range w.heard[end] {
				for _, d := range fx.Send {
					packets = append(packets, captured{w.now, end, d})
				}
			}
			w.heard[end] = nil
		}
	}
	w.do(0, w.ends[0].Invite(w.now, w.port(1, false)))
	u := &tune{random: w.random, left: 3000}
	for u.left > 0 || len(u.ends) > 0 {
		at, commands := u.next(w.now)
		for w.now < at {
			w.step(at)
			collect()
		}
		commands = append(commands, [][][]byte{{{0xF8}}, {{0xFE}, {0xF6}}, {{0xF0, 0x7E, 0x7F, 6, 1, 0xF7}}, {}, {}, {}, {}, {}}[w.random.IntN(8)]...)
		w.do(0, w.ends[0].Send(w.now, commands))
		w.do(1, w.ends[1].Send(w.now, commands))
	}
	w.do(0, w.ends[0].Close())
	collect()

	var meant []shown
	kinds := map[string]int{}
	for i, c := range packets {
		if x := parseExchange(c.d.Bytes); x != nil {
			meant = append(meant, exchangeAs(x))
			kinds[fmt.Sprintf("%T", x)]++
			continue
		}
		p, err := ParsePacket(c.d.Bytes)
		require.NoError(t, err)
		meant = append(meant, packetAs(p))
		packets[i].d.Bytes = padded(c.d.Bytes, p)
		kinds["packet"]++
	}
	require.Greater(t, kinds["packet"], 5000)
	require.Greater(t, kinds["network.Sync"], 10)
	require.Greater(t, kinds["network.Feedback"], 500)
	for i, s := range dissect(t, w, packets, slices.Concat(exchangeFields, packetFields)) {
		require.Equal(t, meant[i], s, "packet %d: % X", i+1, packets[i].d.Bytes)
	}
	t.Log(kinds)
}

// The vectors that our own tests hold us to.
func TestTsharkReadsTheVectorsAsTheyAreNamed(t *testing.T) {
	w := newWorld(0, 0)
	var packets []captured
	for _, v := range vectors {
		packets = append(packets, captured{0, 0, Datagram{true, w.port(1, true), octets(t, v.octets)}})
	}
	for i, s := range dissect(t, w, packets, packetFields) {
		require.Equal(t, packetAs(vectors[i].packet), s, vectors[i].name)
	}
}
