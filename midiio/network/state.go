package network

// state is what a stream of commands has brought about: the sender keeps one
// to write journals from, the receiver one to compare journals with.
type state [16]channel

// channel is the state of one channel.
type channel struct {
	program  set
	hasBank  bool
	bank     [2]byte // controllers 0 and 32 when the program was chosen
	controls [128]set
	counts   [128]byte // how often each was sent, modulo 64
	toggles  [128]byte // how often each passed between off and on, modulo 64
	wheel    set
	wheelLow byte
	notes    [128]set // velocity, 0 when off
	pressure set
	keys     [128]set // pressure
}

// set is a value and the packet that set it.
type set struct {
	value byte
	at    uint32 // extended sequence number; 0: never
}

// lasts reports a command that journals tell of.
func lasts(command []byte) bool { return command[0] < 0xF0 || command[0] == 0xFF }

const (
	allSoundOff   = 120
	resetControls = 121
	allNotesOff   = 123 // and all above
)

// hear follows a command that packet at carries.
func (s *state) hear(at uint32, command []byte) {
	status := command[0]
	if status == 0xFF {
		s.reset(at)
	}
	if status >= 0xF0 {
		return
	}
	s[status&0x0F].hear(at, status&0xF0, command[1], command[len(command)-1])
}

// hear follows a channel command: first and last are its data octets, which
// are one where it has one.
func (c *channel) hear(at uint32, status, first, last byte) {
	switch status {
	case 0x80:
		c.notes[first] = set{0, at}
	case 0x90:
		c.notes[first] = set{last, at}
	case 0xA0:
		c.keys[first] = set{last, at}
	case 0xB0:
		c.control(at, first, last)
	case 0xC0:
		c.program = set{first, at}
		c.hasBank = c.controls[0].at > 0 || c.controls[32].at > 0
		c.bank = [2]byte{c.controls[0].value, c.controls[32].value}
	case 0xD0:
		c.pressure = set{first, at}
	case 0xE0:
		c.wheel, c.wheelLow = set{last, at}, first
	}
}

// reset follows a system reset: what sounded is off, the rest unknown.
func (s *state) reset(at uint32) {
	for i := range s {
		notes := s[i].notes
		s[i] = channel{notes: notes}
		s[i].silence(at)
	}
}

func (c *channel) control(at uint32, number, value byte) {
	if (c.controls[number].value >= 64) != (value >= 64) {
		c.toggles[number] = (c.toggles[number] + 1) & 0x3F
	}
	c.controls[number] = set{value, at}
	c.counts[number] = (c.counts[number] + 1) & 0x3F
	switch {
	case number == resetControls:
		// What it resets is no longer known (MIDI RP-015, from memory).
		for _, n := range []byte{1, 11, 64, 65, 66, 67, 98, 99, 100, 101} {
			c.controls[n] = set{}
		}
		c.wheel, c.pressure, c.keys = set{}, set{}, [128]set{}
	case number == allSoundOff || number >= allNotesOff:
		c.silence(at)
	}
}

// silence turns off all notes of a channel; nothing presses a key then.
func (c *channel) silence(at uint32) {
	c.pressure, c.keys = set{}, [128]set{}
	for n := range c.notes {
		if c.notes[n].value > 0 {
			c.notes[n] = set{0, at}
		}
	}
}

// journal is what happened in the packets after acked, for the packet next.
func (s *state) journal(next, acked uint32) Journal {
	j := Journal{Checkpoint: uint16(acked + 1)}
	for i := range s {
		if c := s[i].journal(next, acked); c.any() {
			c.Channel = i + 1
			j.Channels = append(j.Channels, c)
		}
	}
	return j
}

// any reports that a chapter is there.
func (c ChannelJournal) any() bool {
	return c.Program != nil || c.Wheel != nil || c.Pressure != nil || len(c.Controls)+len(c.Notes)+len(c.Off)+len(c.Keys) > 0
}

func (c *channel) journal(next, acked uint32) (j ChannelJournal) {
	last := func(x set) bool { return x.at == next-1 }
	if p := c.program; p.at > acked {
		j.Program = &ProgramLog{Program: p.value, HasBank: c.hasBank, Bank: c.bank, Last: last(p)}
	}
	for n, x := range c.controls {
		if number := byte(n); x.at > acked && !parameter(number) {
			log := ControlLog{number, ByValue, x.value, last(x)}
			if number >= allSoundOff && number != 122 {
				log.Tool, log.Value = ByCount, c.counts[n]
			}
			j.Controls = append(j.Controls, log)
		}
	}
	if w := c.wheel; w.at > acked {
		j.Wheel = &WheelLog{[2]byte{c.wheelLow, w.value}, last(w)}
	}
	for n, x := range c.notes {
		switch {
		case x.at <= acked:
		case x.value > 0:
			// A pipe sounds as long as its key is held: better late than not.
			j.Notes = append(j.Notes, NoteLog{byte(n), x.value, true, last(x)})
		default:
			j.Off = append(j.Off, byte(n))
			j.OffLast = j.OffLast || last(x)
		}
	}
	if p := c.pressure; p.at > acked {
		j.Pressure = &PressureLog{p.value, last(p)}
	}
	for n, x := range c.keys {
		if x.at > acked {
			j.Keys = append(j.Keys, KeyLog{byte(n), x.value, last(x)})
		}
	}
	return j
}

// parameter reports the controllers that choose a parameter and set it. Their
// order counts, so chapter C does not have them (RFC 6295 appendix A.3).
func parameter(number byte) bool { return number == 6 || number == 38 || number >= 96 && number <= 101 }
