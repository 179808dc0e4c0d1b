package gen

import (
	"math"
	"slices"

	"trundle/console"
)

var families = []string{"principal", "flute", "string", "reed"}

var (
	manualFeet = []console.Feet{console.Foot(16), console.Foot(8), console.Foot(8), console.Foot(8), console.Foot(4),
		console.Foot(4), console.Foot(2), {Num: 8, Den: 3}, {Num: 8, Den: 5}}
	pedalFeet = []console.Feet{console.Foot(16), console.Foot(16), console.Foot(8), console.Foot(4), {Num: 32, Den: 3}}
)

// ranks deals the ranks out to the divisions.
func (m *maker) ranks() {
	order := m.Perm(len(m.in.Divisions))
	for i := range m.count(m.size.Ranks) {
		m.rank(order[i%len(order)])
	}
	m.unitChests()
}

// unitChests gives the unit chests beside divisions what the loader gives
// them: the divisions of the ranks that stand there, and their notes.
func (m *maker) unitChests() {
	for c := range m.in.Chests {
		chest := &m.in.Chests[c]
		if chest.Kind != console.Unit || len(chest.Plays) > 0 && m.in.Divisions[chest.Plays[0]].Chest == c {
			continue
		}
		d := chest.Plays[0]
		chest.Plays, chest.Notes = nil, console.Span{From: 0, To: -1}
		for _, r := range m.in.Ranks {
			if slices.ContainsFunc(r.Stands, func(s console.Stand) bool { return s.Chest == c }) {
				chest.Plays, chest.Notes = []int{d}, m.in.Divisions[d].Notes
			}
		}
	}
}

// rank adds a rank to division d: on a chest with note lines a plain one,
// which only its own notes open; on a unit chest often one that is longer
// than the compass, for stops at several pitches.
func (m *maker) rank(d int) {
	division := m.in.Divisions[d]
	feet := manualFeet
	if division.Keyboard != console.None && m.in.Keyboards[division.Keyboard].Kind == console.Pedal {
		feet = pedalFeet
	}
	r := console.Rank{Division: d, Family: pick(m, families), Feet: pick(m, feet), From: division.Notes.From,
		Pipes: division.Notes.Len(), Sounds: "pipes"}
	onLines := len(m.lines[d]) > 0 && (len(m.units[d]) == 0 || m.oneIn(2))
	var chest int
	if onLines {
		chest = pick(m, m.lines[d])
		notes := m.in.Chests[chest].Notes
		r.From, r.Pipes = notes.From, notes.Len()
	} else {
		chest = pick(m, m.units[d])
	}
	octave := m.size.Octave
	switch form := m.IntN(12); {
	case form == 0 && r.Pipes > octave+1: // a celeste
		r.Family, r.Feet, r.Cents = "string", console.Foot(8), float64(4+m.IntN(5))
		r.From, r.Pipes = r.From+console.Note(octave), r.Pipes-octave
	case form == 1:
		m.compound(&r)
	case form == 2 && !onLines && r.Pipes > 2: // a percussion, shorter than the compass
		r.Family, r.Sounds, r.Strikes = "percussion", pick(m, []string{"bars", "bells"}), pick(m, []string{"", "once"})
		r.Feet = console.Foot(8)
		short := 1 + m.IntN(r.Pipes/2)
		r.From, r.Pipes = r.From+console.Note(short), r.Pipes-short
	case form == 3 && r.Pipes > octave+1: // its top octave is missing
		r.Pipes -= octave
	case form >= 4 && !onLines: // extended
		r.Pipes += octave * (1 + m.IntN(4))
		if m.oneIn(2) {
			r.Feet = console.Foot(16)
		}
	}
	r.Stands = []console.Stand{{Chest: chest, From: 1, To: r.Pipes}}
	if onLines && len(m.units[d]) > 0 && r.Pipes > octave && m.oneIn(2) { // the basses stand apart
		r.Stands = []console.Stand{{Chest: pick(m, m.units[d]), From: 1, To: octave}, {Chest: chest, From: octave + 1, To: r.Pipes}}
	}
	r.ID = m.id("rank", rankName(division.ID, r))
	r.Name = title(r.ID)
	r.First = m.in.Valves
	m.in.Valves += r.Pipes
	m.in.Ranks = append(m.in.Ranks, r)
}

func rankName(division string, r console.Rank) string {
	name := r.Family
	switch {
	case r.Cents != 0:
		name = "celeste"
	case len(r.Breaks) > 0:
		name = "mixture"
	case r.Sounds != "pipes":
		name = r.Sounds
	}
	return division + "-" + name
}

// figures are the rows of compound stops from the highest zone down to the
// lowest, each a figure and its ratio to 8 foot.
var figures = []console.Row{{Text: "1", Num: 1, Den: 1}, {Text: "8", Num: 2, Den: 1}, {Text: "12", Num: 3, Den: 1},
	{Text: "15", Num: 4, Den: 1}, {Text: "19", Num: 6, Den: 1}, {Text: "22", Num: 8, Den: 1}, {Text: "26", Num: 12, Den: 1},
	{Text: "29", Num: 16, Den: 1}}

// compound gives r rows of pipes that break back by one row at some octaves.
func (m *maker) compound(r *console.Rank) {
	r.Family, r.Feet = "principal", console.Feet{}
	rows := 2 + m.IntN(3)
	for zone, lowest := 0, len(figures)-rows; zone < r.Pipes && lowest >= 0; zone, lowest = zone+m.size.Octave, lowest-1 {
		b := console.Break{From: r.From + console.Note(zone)}
		b.Rows = append(b.Rows, figures[lowest:lowest+rows]...)
		if m.oneIn(4) {
			b.Rows = append(b.Rows, console.Row{Text: "1 3/5", Num: 5, Den: 1})
		}
		r.Breaks = append(r.Breaks, b)
	}
}

// feetAt is the plainest footage that lies shift semitones above rank.
func feetAt(rank console.Feet, shift int) console.Feet {
	want := rank.Float() * math.Pow(2, -float64(shift)/12)
	for den := 1; ; den++ {
		f := console.Feet{Num: int(math.Round(want * float64(den))), Den: den}
		if f.Num > 0 && f.Shift(rank) == shift {
			return f
		}
	}
}
