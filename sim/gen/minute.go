package gen

import (
	"fmt"
	"math/rand/v2"

	"trundle/console"
)

// Minute is an instrument of few keys and controls, so that all its states can
// be tried, with whatever the definition of what sounds allows, however odd:
// keyboards that begin at different notes, transfers one after the other and
// between keyboards of different compass, several divides on any keyboard, own
// couplers and couplers that carry all within some keys or on the second
// touch, unison offs of floating divisions. Rules find errors in some.
func Minute(seed uint64) *console.Instrument {
	m := &minute{Rand: rand.New(rand.NewPCG(seed, 6)), in: &console.Instrument{Name: fmt.Sprintf("Minute %d", seed)}}
	m.in.Pitch.A4 = 440
	m.keyboards()
	m.divisions()
	m.ranks()
	for range 1 + m.IntN(2) {
		m.stop()
	}
	for len(m.in.Controls) < minuteControls {
		pick(m, []func(){m.coupler, m.coupler, m.coupler, m.unisonOff, m.transfer, m.divide})()
	}
	return m.in
}

// minuteControls is how many controls a minute instrument has.
const minuteControls = 5

// minute is an instrument being made, all about middle C.
type minute struct {
	*rand.Rand
	in *console.Instrument
}

const middle console.Note = 60

// span is a few notes near middle C.
func (m *minute) span(most int) console.Span {
	from := middle + console.Note(m.IntN(2))
	return console.Span{From: from, To: from + console.Note(m.IntN(most))}
}

// some is all notes, or a few of these.
func (m *minute) some(of console.Span) console.Span {
	if few := m.span(2).Cut(of); few.Len() > 0 && m.IntN(2) == 0 {
		return few
	}
	return console.AllNotes
}

func (m *minute) keyboards() {
	great := console.Keyboard{ID: "great", Kind: console.Manual, Keys: m.span(2), Touches: 1 + m.IntN(2)}
	pedal := console.Keyboard{ID: "pedal", Kind: console.Pedal, Keys: m.span(3), Touches: 1}
	m.in.Keyboards = []console.Keyboard{great, pedal}
}

func (m *minute) divisions() {
	for d, id := range []string{"great", "pedal", "echo"} {
		if m.IntN(4) == 0 && d > 0 {
			break
		}
		home := m.IntN(3) - 1 // None for one that floats
		notes := m.span(3)
		notes.From -= console.Note(m.IntN(2))
		kind := pick(m, []console.ChestKind{console.Unit, console.Unit, console.Slider})
		m.in.Divisions = append(m.in.Divisions, console.Division{ID: id, Keyboard: home, Notes: notes, Chest: d, Box: console.None})
		m.in.Chests = append(m.in.Chests, console.Chest{ID: id, Kind: kind, Notes: notes, Plays: []int{d}})
	}
	last := len(m.in.Divisions) - 1
	if chest := &m.in.Chests[last]; chest.HasNoteLines() && last > 0 {
		if notes := m.in.Divisions[last].Notes.Cut(m.in.Divisions[0].Notes); notes.Len() > 0 {
			chest.Notes, chest.Plays, m.in.Divisions[last].Chest = notes, []int{last, 0}, console.None
		}
	}
}

func (m *minute) ranks() {
	for c, chest := range m.in.Chests {
		r := console.Rank{ID: fmt.Sprint("rank-", c), Division: c, Family: "flute", Feet: console.Foot(8), From: chest.Notes.From,
			Pipes: chest.Notes.Len(), Sounds: "pipes", First: m.in.Valves}
		if !chest.HasNoteLines() {
			r.From += console.Note(m.IntN(5) - 2)
			r.Pipes = pick(m, []int{1, 2, 3, 13})
		}
		r.Stands = []console.Stand{{Chest: c, From: 1, To: r.Pipes}}
		m.in.Valves += r.Pipes
		m.in.Ranks = append(m.in.Ranks, r)
	}
}

// stop takes a rank on note lines as its chest can play it, others anyhow.
func (m *minute) stop() {
	s := console.Stop{Division: m.IntN(len(m.in.Divisions)), Notes: console.AllNotes, Touch: 1}
	for range 1 + m.IntN(2) {
		r := m.IntN(len(m.in.Ranks))
		t := console.Take{Rank: r, Feet: m.in.Ranks[r].Feet, Notes: console.AllNotes, Above: console.Silent, Below: console.Silent}
		if chest := m.in.Chests[r]; chest.HasNoteLines() {
			if len(s.Takes) > 0 {
				break
			}
			s.Division, s.Takes = pick(m, chest.Plays), []console.Take{t}
			break
		}
		t.Shift, t.Notes = m.IntN(5)-2+12*(m.IntN(3)-1), m.some(m.in.Divisions[s.Division].Notes)
		t.Feet = feetAt(m.in.Ranks[r].Feet, t.Shift)
		t.Above, t.Below = pick(m, []console.Beyond{console.Silent, console.Fold}), pick(m, []console.Beyond{console.Silent, console.Fold})
		s.Takes = append(s.Takes, t)
		s.Notes, s.Touch = m.some(m.in.Divisions[s.Division].Notes), 1+m.IntN(m.in.Keyboards[0].Touches)
	}
	s.ID, s.Control = m.control("stop", console.StopControl, len(m.in.Stops))
	m.in.Stops = append(m.in.Stops, s)
}

// control adds a control for the thing of an index and names both.
func (m *minute) control(base string, kind console.ControlKind, index int) (id string, control int) {
	id, control = fmt.Sprint(base, "-", index+1), len(m.in.Controls)
	m.in.Controls = append(m.in.Controls, console.Control{ID: id, Name: id, Kind: kind, Index: index, Style: console.Fixed})
	return id, control
}

func (m *minute) coupler() {
	c := console.Coupler{Division: m.IntN(len(m.in.Divisions)), Keyboard: m.IntN(len(m.in.Keyboards)), Shift: m.IntN(3) - 1,
		Carries: console.CarriesNone, Touch: 1}
	c.Keys = m.some(m.in.Keyboards[c.Keyboard].Keys)
	if m.in.Keyboards[c.Keyboard].Touches == 2 && m.IntN(2) == 0 {
		c.Touch = 2
	}
	switch {
	case c.Keyboard == m.in.Divisions[c.Division].Keyboard:
		c.Keyboard, c.Keys = console.None, m.some(m.in.Divisions[c.Division].Notes)
	case m.IntN(3) == 0:
		c.Picks = pick(m, []console.Picks{console.PicksLowest, console.PicksHighest})
	default:
		c.Carries = pick(m, []console.Carries{console.CarriesNone, console.CarriesOwn, console.CarriesAll, console.CarriesAll})
	}
	c.ID, c.Control = m.control("coupler", console.CouplerControl, len(m.in.Couplers))
	m.in.Couplers = append(m.in.Couplers, c)
}

func (m *minute) unisonOff() {
	u := console.UnisonOff{Division: m.IntN(len(m.in.Divisions)), Cuts: pick(m, []console.Cuts{console.CutsKeys, console.CutsLine, console.CutsAll})}
	u.ID, u.Control = m.control("unison-off", console.UnisonOffControl, len(m.in.UnisonOffs))
	m.in.UnisonOffs = append(m.in.UnisonOffs, u)
}

func (m *minute) transfer() {
	t := console.Transfer{Keyboards: pick(m, [][2]int{{0, 1}, {1, 0}})}
	t.ID, t.Control = m.control("transfer", console.TransferControl, len(m.in.Transfers))
	m.in.Transfers = append(m.in.Transfers, t)
}

// divide splits a keyboard of several keys between two of them.
func (m *minute) divide() {
	k := m.IntN(len(m.in.Keyboards))
	keys := m.in.Keyboards[k].Keys
	if keys.Len() == 1 {
		return
	}
	d := console.Divide{Keyboard: k, Split: keys.From + 1 + console.Note(m.IntN(keys.Len()-1))}
	d.ID, d.Control = m.control("divide", console.DivideControl, len(m.in.Divides))
	m.in.Divides = append(m.in.Divides, d)
}
