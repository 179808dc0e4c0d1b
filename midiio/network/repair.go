package network

// repair is what a receiver who lost packets does by the journal of the next
// one: the commands that bring its state to that of the sender.
func (s *state) repair(j Journal) (commands [][]byte) {
	for _, log := range j.Channels {
		r := repairer{&s[log.Channel-1], byte(log.Channel - 1), nil}
		r.follow(log)
		commands = append(commands, r.commands...)
	}
	return commands
}

// repairer brings one channel to what its journal says.
type repairer struct {
	*channel
	number   byte // from 0
	commands [][]byte
}

// known marks what a receiver knows: it counts no packets.
const known = 1

func (r *repairer) do(status byte, data ...byte) {
	r.commands = append(r.commands, append([]byte{status | r.number}, data...))
	r.hear(known, status, data[0], data[len(data)-1])
}

// follow puts first what silences and resets, and what presses keys behind the
// notes.
func (r *repairer) follow(log ChannelJournal) {
	for _, l := range log.Controls {
		if l.Tool == ByCount && l.Number >= allSoundOff && r.counts[l.Number] != l.Value {
			r.do(0xB0, l.Number, 0)
			r.counts[l.Number] = l.Value
		}
	}
	if p := log.Program; p != nil {
		differs := r.program != set{p.Program, known}
		if p.HasBank && (differs || !r.hasBank || r.bank != p.Bank) {
			r.do(0xB0, 0, p.Bank[0])
			r.do(0xB0, 32, p.Bank[1])
			differs = true
		}
		if differs {
			r.do(0xC0, p.Program)
		}
	}
	for _, l := range log.Controls {
		r.control(l)
	}
	if w := log.Wheel; w != nil && (r.wheel != set{w.Data[1], known} || r.wheelLow != w.Data[0]) {
		r.do(0xE0, w.Data[0], w.Data[1])
	}
	for _, note := range log.Off {
		if r.notes[note].value > 0 {
			r.do(0x80, note, offVelocity)
		}
	}
	for _, l := range log.Notes {
		if l.Play && r.notes[l.Note].value == 0 {
			r.do(0x90, l.Note, l.Velocity)
		}
	}
	if p := log.Pressure; p != nil && (r.pressure != set{p.Value, known}) {
		r.do(0xD0, p.Value)
	}
	for _, k := range log.Keys {
		if (r.keys[k.Note] != set{k.Value, known}) {
			r.do(0xA0, k.Note, k.Value)
		}
	}
}

func (r *repairer) control(l ControlLog) {
	switch {
	case l.Tool == ByValue && r.controls[l.Number] != set{l.Value, known}:
		r.do(0xB0, l.Number, l.Value)
	case l.Tool == ByToggle && r.toggles[l.Number] != l.Value:
		r.do(0xB0, l.Number, 127*(l.Value&1)) // it was off in the beginning
		r.toggles[l.Number] = l.Value
	}
}

// offVelocity is that of a note off whose sender has none to tell.
const offVelocity = 64

// release is what ends all that a peer holds: its notes, and the pedals that
// keep notes on.
func (s *state) release() (commands [][]byte) {
	for i := range s {
		r := repairer{&s[i], byte(i), nil}
		for note, x := range s[i].notes {
			if x.value > 0 {
				r.do(0x80, byte(note), offVelocity)
			}
		}
		for _, pedal := range []byte{64, 66} {
			if s[i].controls[pedal].value >= 64 {
				r.do(0xB0, pedal, 0)
			}
		}
		commands = append(commands, r.commands...)
	}
	return commands
}
