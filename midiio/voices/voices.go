// Package voices turns the pipes that sound into notes for a synthesizer: each
// at its own pitch, on the channels of its family.
package voices

import (
	"math"
	"slices"

	"trundle/console"
	"trundle/midiio"
)

// Player follows valves and plays the pipes on them.
type Player struct {
	channels []channel
	notes    [][]note // by valve
	sounding map[note]int
}

// channel plays pipes of one family that are about as far from equal
// temperament at 440 Hz.
type channel struct {
	number  int // of MIDI, from 1
	program int // from 1
	cents   float64
}

// note is a key of a channel.
type note struct {
	channel int // into channels
	key     byte
}

// New gives every pipe of an instrument a channel and a key. What a
// synthesizer has no key for stays silent.
func New(in *console.Instrument) *Player {
	var voices []voice
	var families []string
	for r, rank := range in.Ranks {
		family := slices.Index(families, rank.Family)
		if family < 0 {
			family = len(families)
			families = append(families, rank.Family)
		}
		for v := 1; v <= rank.Pipes; v++ {
			for _, hz := range in.Hz(r, v) {
				exact := 69 + 12*math.Log2(hz/440)
				if key := math.Round(exact); key >= 0 && key <= 127 {
					voices = append(voices, voice{rank.Valve(v), min(family, most-1), byte(key), 100 * (exact - key)})
				}
			}
		}
	}
	p := &Player{notes: make([][]note, in.Valves), sounding: map[note]int{}}
	groups := share(voices)
	for i, g := range groups {
		number := i + 1
		if number >= drums {
			number++
		}
		p.channels = append(p.channels, channel{number, program(in, families[g.family]), (g.low + g.high) / 2})
	}
	for _, v := range voices {
		i := slices.IndexFunc(groups, func(g group) bool { return g.family == v.family && v.cents >= g.low && v.cents <= g.high })
		p.notes[v.valve] = append(p.notes[v.valve], note{i, v.key})
	}
	return p
}

// program is that of a family of pipes. Those that stand for the usual families
// where the instrument names none are a recorder, a string ensemble, a reed
// organ, and for all others a church organ (General MIDI System Level 1, from
// memory).
func program(in *console.Instrument, family string) int {
	if i := slices.IndexFunc(in.Voices, func(v console.Voice) bool { return v.Family == family }); i >= 0 {
		return in.Voices[i].Program
	}
	switch family {
	case "flute":
		return 75
	case "string":
		return 49
	case "reed":
		return 21
	}
	return 20
}

// Parameters and controllers of MIDI 1.0.
const (
	dataEntry      = 6
	dataEntryFine  = 38
	parameterFine  = 100
	parameter      = 101
	noParameter    = 127
	programChange  = 0xC0
	pitchBend      = 0xE0
	bendCentre     = 8192
	bendSemitones  = 2
	velocity       = 100
	centsASemitone = 100
)

// Begin appends what a synthesizer must know first: the program of each
// channel, how far bends go, and its bend.
func (p *Player) Begin(to []midiio.Message) []midiio.Message {
	for _, c := range p.channels {
		status := byte(c.number - 1)
		for _, control := range [][2]byte{{parameter, 0}, {parameterFine, 0}, {dataEntry, bendSemitones}, {dataEntryFine, 0}, {parameter, noParameter}, {parameterFine, noParameter}} {
			to = append(to, midiio.ControlChange(c.number, control[0], control[1]))
		}
		bend := bendCentre + int(math.Round(c.cents/(bendSemitones*centsASemitone)*bendCentre))
		to = append(to, midiio.Message{Status: programChange | status, A: byte(c.program - 1)},
			midiio.Message{Status: pitchBend | status, A: byte(bend & 0x7F), B: byte(bend >> 7)})
	}
	return to
}

// Open appends the notes of the pipes on a valve, as far as no other valve has
// them on already.
func (p *Player) Open(to []midiio.Message, valve int) []midiio.Message {
	for _, n := range p.notes[valve] {
		if p.sounding[n]++; p.sounding[n] == 1 {
			to = append(to, midiio.NoteOn(p.channels[n.channel].number, n.key, velocity))
		}
	}
	return to
}

// Shut appends the end of the notes of the pipes on a valve that was open.
func (p *Player) Shut(to []midiio.Message, valve int) []midiio.Message {
	for _, n := range p.notes[valve] {
		if p.sounding[n]--; p.sounding[n] == 0 {
			delete(p.sounding, n)
			to = append(to, midiio.NoteOff(p.channels[n.channel].number, n.key))
		}
	}
	return to
}
