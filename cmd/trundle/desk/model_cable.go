package desk

import (
	"time"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
)

// cable is the desk's ends of the MIDI cables, which know what messages mean.
type cable struct {
	player *mapping.End     // hears what a console says: keys, knobs, buttons, shoes
	organ  *mapping.End     // hears what an organ says to its console
	says   *mapping.End     // the one that speaks, nil when nothing is sent
	pipes  *pipes           // that a synthesizer plays, nil when it plays none
	lines  bool             // it tells of lines after the couplers
	source string           // who brought about what happens now, "" for the desk itself
	out    []midiio.Message // to be sent
}

// Sources of what comes over a cable.
const (
	byPlayer = "midi"
	byOrgan  = "organ"
)

// plug makes the ends, and says how the console stands.
func (m *Model) plug() {
	cables := m.options.Map
	if cables == nil {
		return
	}
	c := &m.cable
	c.player, c.organ = cables.End(mapping.AtOrgan, byPlayer), cables.End(mapping.AtConsole, byOrgan)
	switch m.options.Says {
	case AsConsole:
		c.says = c.organ
	case AsOrgan:
		c.says = c.player
	case AsPipes:
		c.pipes = newPipes(m.in)
	}
	for _, e := range cables.Entries {
		c.lines = c.lines || e.Kind == mapping.Line
	}
	m.greet()
}

// greet tells the other end how the console stands.
func (m *Model) greet() {
	if m.cable.says != nil {
		m.cable.out = m.cable.says.Connect(m.cable.out, m.now, m.console.Machine())
	}
	if m.cable.pipes != nil {
		m.cable.out = m.cable.pipes.player.Begin(m.cable.out)
	}
}

// sayAll has the other end told of an event and what came of it.
func (m *Model) sayAll(e console.Event, effects []console.Effect) {
	c := &m.cable
	if c.pipes != nil {
		c.out = c.pipes.follow(c.out, effects)
	}
	if c.says == nil {
		return
	}
	c.out = c.says.Did(c.out, m.now, c.source, e)
	for _, effect := range effects {
		if effect.Kind == console.ValveEffect && m.options.Map.Default {
			continue // a keyboard that plays it has no use for them
		}
		c.out = c.says.Say(c.out, effect)
	}
	if c.lines {
		c.out = c.says.Lines(c.out, m.console.Machine().Sounding())
	}
}

// Messages takes what is to be sent.
func (m *Model) Messages() []midiio.Message {
	out := m.cable.out
	m.cable.out = nil
	far := m.cable.player // what is said to it, it would hear
	if m.cable.says == far {
		far = m.cable.organ
	}
	for _, message := range out {
		words := ""
		if m.cable.says != nil {
			words = far.Words(message)
		}
		m.traffic.changes++
		m.traffic.sent++
		m.traffic.keep(heard{at: m.now, message: message, words: words, out: true})
	}
	return out
}

// obeyMessage does what a message says, and is that in words. What means
// nothing as a console's may mean something as an organ's.
func (m *Model) obeyMessage(t midiio.Timed) string {
	c := &m.cable
	if c.player == nil {
		return ""
	}
	end, by := c.player, byPlayer
	got := end.Hear(t)
	if !got.Known || t.Message.OfPort() {
		m.doAll(by, got.Events)
		end, by = c.organ, byOrgan
		got = end.Hear(t)
	}
	words := end.Words(t.Message)
	m.doAll(by, got.Events)
	if t.Message.Kind == midiio.Back {
		m.greet()
	}
	return words
}

// unplug lets go of what the other end holds, since nothing more will come.
func (m *Model) unplug() {
	if c := &m.cable; c.player != nil {
		m.doAll(byPlayer, c.player.Disconnect())
		m.doAll(byOrgan, c.organ.Disconnect())
	}
}

// doAll does the events that someone brought about.
func (m *Model) doAll(by string, events []console.Event) {
	m.cable.source = by
	for _, e := range events {
		m.do(e)
	}
	m.cable.source = ""
}

// tickCable says what has waited long enough.
func (m *Model) tickCable() {
	if says := m.cable.says; says != nil {
		m.cable.out = says.Tick(m.cable.out, m.now)
	}
}

// cableDue is when that is.
func (m *Model) cableDue() (time.Duration, bool) {
	if m.cable.says == nil {
		return 0, false
	}
	return m.cable.says.Next()
}
