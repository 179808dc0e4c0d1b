package main

import (
	"trundle/console"
	"trundle/sim/wiring"
)

// sheetAnswer is the papers of an instrument, in the shape of schema
// trundle.sheet/1.
type sheetAnswer struct {
	Schema     string          `json:"schema"`
	Instrument string          `json:"instrument"`
	Divisions  []divisionPaper `json:"divisions"`
	Totals     totalsPaper     `json:"totals"`
	Buttons    []buttonPaper   `json:"buttons"`
	Pins       []pinPaper      `json:"pins,omitzero"` // with a relay
}

type divisionPaper struct {
	Division    string      `json:"division"`
	Name        string      `json:"name"`
	Stops       []stopPaper `json:"stops"`
	Percussions []stopPaper `json:"percussions"`
	Totals      totalsPaper `json:"totals"`
}

type totalsPaper struct {
	Stops       int `json:"stops"`
	Ranks       int `json:"ranks"`
	Pipes       int `json:"pipes"`
	Percussions int `json:"percussions"`
}

type stopPaper struct {
	Stop     string        `json:"stop"`
	Name     string        `json:"name"`
	Feet     string        `json:"feet"` // "" for a compound stop
	Families []string      `json:"families"`
	Takes    []string      `json:"takes"` // ranks
	Rows     rowsPaper     `json:"rows"`
	Valves   int           `json:"valves"`
	Pipes    int           `json:"pipes"`
	Adds     int           `json:"adds"` // pipes that stand in its division and that no stop of it before plays
	Repeats  []repeatPaper `json:"repeats"`
}

// rowsPaper is pipes on one key, where they are fewest and most.
type rowsPaper struct {
	Least int `json:"least"`
	Most  int `json:"most"`
}

// repeatPaper is where a folded take sounds an octave again: from a note up,
// or from it down.
type repeatPaper struct {
	Rank string `json:"rank"`
	Note int    `json:"note"` // MIDI key number
	Up   bool   `json:"up"`
}

type buttonPaper struct {
	Button   string   `json:"button"`
	Name     string   `json:"name"`
	Kind     string   `json:"kind"`
	Toe      bool     `json:"toe"`
	Keyboard string   `json:"keyboard"` // under which it stands, or ""
	Repeats  string   `json:"repeats"`  // the button it does the work of, or ""
	Takes    []string `json:"takes"`    // controls it captures or turns
}

type pinPaper struct {
	Pin    string `json:"pin"`
	Kind   string `json:"kind"`
	Item   string `json:"item"`
	Note   string `json:"note"` // key, valve or stage; "" where there is none
	Cable  string `json:"cable"`
	Wire   int    `json:"wire"` // 0 where none is given
	Colour string `json:"colour"`
	Group  string `json:"group"`
}

func answerSheet(in *console.Instrument, relay *wiring.Relay) sheetAnswer {
	sheet := console.NewSheet(in)
	a := sheetAnswer{
		Schema:     "trundle.sheet/1",
		Instrument: in.Name,
		Divisions:  []divisionPaper{},
		Totals:     totalsPaper(sheet.Totals),
		Buttons:    buttonPapers(in),
	}
	for i, d := range sheet.Divisions {
		a.Divisions = append(a.Divisions, divisionPaper{
			Division:    in.Divisions[i].ID,
			Name:        in.Divisions[i].Name,
			Stops:       stopPapers(in, d.Stops),
			Percussions: stopPapers(in, d.Percussions),
			Totals:      totalsPaper(d.Totals),
		})
	}
	if relay != nil {
		a.Pins = pinPapers(in, relay)
	}
	return a
}

func stopPapers(in *console.Instrument, stops []console.StopSheet) []stopPaper {
	papers := []stopPaper{}
	for _, s := range stops {
		stop := in.Stops[s.Stop]
		p := stopPaper{
			Stop: stop.ID, Name: stop.Name,
			Families: append([]string{}, s.Families...),
			Takes:    []string{},
			Rows:     rowsPaper(s.Ranks),
			Valves:   s.Valves, Pipes: s.Pipes, Adds: s.Adds,
			Repeats: []repeatPaper{},
		}
		if !stop.Feet.IsZero() {
			p.Feet = stop.Feet.String()
		}
		for _, r := range s.Takes {
			p.Takes = append(p.Takes, in.Ranks[r].ID)
		}
		for _, r := range s.Repeats {
			p.Repeats = append(p.Repeats, repeatPaper{in.Ranks[r.Rank].ID, int(r.Note), r.Above})
		}
		papers = append(papers, p)
	}
	return papers
}

func buttonPapers(in *console.Instrument) []buttonPaper {
	papers := []buttonPaper{}
	if in.Combination == nil {
		return papers
	}
	buttons := in.Combination.Buttons
	for _, b := range buttons {
		p := buttonPaper{Button: b.ID, Name: b.Name, Kind: string(b.Kind), Toe: b.Toe, Takes: []string{}}
		if b.Keyboard != console.None {
			p.Keyboard = in.Keyboards[b.Keyboard].ID
		}
		work := b
		if b.Repeats != console.None {
			work = buttons[b.Repeats]
			p.Repeats = work.ID
		}
		for _, c := range in.Takes(work) {
			p.Takes = append(p.Takes, in.Controls[c].ID)
		}
		if work.Control != console.None {
			p.Takes = append(p.Takes, in.Controls[work.Control].ID)
		}
		papers = append(papers, p)
	}
	return papers
}
