package circuit

import (
	"fmt"
	"math"
	"slices"

	"trundle/console/finding"
)

// Sizes are the sizes with which a circuit carries what a player can do, those
// of wires with the least copper that was found.
type Sizes struct {
	Parts   []Sized
	Copper  float64 // kg
	Bound   float64 // kg: no sizes that pass have less
	Circuit *Circuit
	Report  Report            // of that circuit
	Left    []finding.Finding // what no size mends
}

// Sized is a part with the size that it takes.
type Sized struct {
	Part
	ID     string
	Now    string  // what the file says, "" when it does not
	Size   string  // "" when no size is large enough
	Amps   float64 // the most through it; of a cable, through one wire
	Copper float64 // kg
	Rule   string  // that one size smaller breaks; "" for the smallest there is
	Binds  string  // in words
	At     finding.Place
}

// Sizes are the fuses, supplies, feeds, cables and returns that pass; a board
// without a fuse is given one. A fuse has a standard rating and a supply a whole
// number of amps, just as much as the worst chord and what is pulsed besides
// draw at most; a wire has a length in the file, and a gauge that carries its
// fuse, keeps to the code, and leaves every coil its volts.
func (s *Reporter) Sizes(rep Report) Sizes {
	out := s.sizes(rep)
	for _, f := range s.with(out.Circuit).Findings(out.Report) {
		if f.Severity != finding.Note {
			out.Left = append(out.Left, f)
		}
	}
	return out
}

// sizes are the sizes, without what they do not mend.
func (s *Reporter) sizes(rep Report) Sizes {
	z := &sizer{Reporter: s, c: s.c.clone(), code: s.c.Settings.Code, lines: rep.byPart()}
	z.fuseAll()
	z.fuses()
	z.supplies()
	z.wires(rep)
	out := Sizes{Parts: z.parts, Bound: z.bound, Circuit: z.c, Report: s.with(z.c).again(z.lines)}
	for _, part := range out.Parts {
		out.Copper += part.Copper
	}
	return out
}

// byPart are the lines of a report by supply, fuse, board, return and cable.
func (rep Report) byPart() map[Part]Line {
	lines := map[Part]Line{}
	for _, line := range rep.Lines {
		lines[Part{line.Kind, line.index}] = line
	}
	return lines
}

// clone is a circuit whose sizes can be changed.
func (c *Circuit) clone() *Circuit {
	own := *c
	own.Supplies, own.Fuses, own.Boards = slices.Clone(c.Supplies), slices.Clone(c.Fuses), slices.Clone(c.Boards)
	own.Cables, own.Returns, own.Magnets = slices.Clone(c.Cables), slices.Clone(c.Returns), slices.Clone(c.Magnets)
	return &own
}

// sizer chooses sizes for its own circuit, one kind of part after the other.
type sizer struct {
	*Reporter
	c     *Circuit
	code  string
	lines map[Part]Line
	parts []Sized
	bound float64
}

// fuseAll gives every board that has none a fuse of its own.
func (z *sizer) fuseAll() {
	for i := range z.c.Boards {
		line, used := z.lines[Part{"board", i}]
		if board := &z.c.Boards[i]; used && board.Fuse == None && len(z.c.suppliesOf(i)) > 0 {
			board.Fuse = len(z.c.Fuses)
			z.lines[Part{"fuse", board.Fuse}] = line
			z.c.Fuses = append(z.c.Fuses, Fuse{ID: line.ID, At: board.At})
		}
	}
}

// carrier begins the part of a fuse or a supply; used is false where nothing
// goes through it.
func (z *sizer) carrier(kind string, index int, id string, now float64, at finding.Place) (part Sized, used bool) {
	line, used := z.lines[Part{kind, index}]
	part = Sized{Part: Part{kind, index}, ID: id, Amps: line.Peak(), At: at}
	if now > 0 {
		part.Now = fmt.Sprintf("%g A", now)
	}
	return part, used
}

func (z *sizer) fuses() {
	ratings := fuseRatings(z.code)
	for i := range z.c.Fuses {
		fuse := &z.c.Fuses[i]
		part, used := z.carrier("fuse", i, fuse.ID, fuse.Amps, fuse.At)
		if !used {
			continue
		}
		if at := leastRating(ratings, part.Amps); at < 0 {
			part.Binds = fmt.Sprintf("no rating up to %g A carries it: share its load", ratings[len(ratings)-1])
		} else {
			fuse.Amps = ratings[at]
			part.Size = fmt.Sprintf("%g A", fuse.Amps)
			if at > 0 {
				part.Rule, part.Binds = FuseOver, fmt.Sprintf("%.2f A go through it", part.Amps)
			}
		}
		z.parts = append(z.parts, part)
	}
}

func (z *sizer) supplies() {
	for i := range z.c.Supplies {
		supply := &z.c.Supplies[i]
		part, used := z.carrier("supply", i, supply.ID, supply.Amps, supply.At)
		if !used {
			continue
		}
		supply.Amps = max(1, math.Ceil(part.Amps))
		part.Size = fmt.Sprintf("%g A", supply.Amps)
		if supply.Amps > 1 {
			part.Rule, part.Binds = SupplyOver, fmt.Sprintf("it gives %.2f A", part.Amps)
		}
		z.parts = append(z.parts, part)
	}
}

// with is a reporter of the same relay with other sizes.
func (s *Reporter) with(c *Circuit) *Reporter {
	search := *s.Search
	search.c = c
	return &Reporter{&search, s.relay}
}

// again is a report when sizes have changed, on which no chord depends, from the
// lines before.
func (s *Reporter) again(before map[Part]Line) Report {
	lines := s.lines()
	for i := range lines {
		was := before[Part{lines[i].Kind, lines[i].index}]
		lines[i].Everything, lines[i].Chord, lines[i].Cluster = was.Everything, was.Chord, was.Cluster
	}
	return s.settled(lines)
}
