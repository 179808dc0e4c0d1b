package console

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strconv"

	"trundle/console/yamldoc"
)

// WriteYAML writes an instrument as a file that Parse reads back as the same
// instrument: one line an item, but for stops of several takes and ranks with
// breaks, which have a line for each. What has its default is left out.
func WriteYAML(w io.Writer, in *Instrument) error {
	y := yamlWriter{bufio.NewWriter(w), in}
	y.head()
	y.places()
	section(y, "ranks", in.Ranks, y.rank)
	section(y, "stops", in.Stops, y.stop)
	y.knobs()
	section(y, "shoes", in.Shoes, y.shoe)
	y.blinds()
	y.combination()
	if len(in.Voices) > 0 {
		var fields []yamlField
		for _, v := range in.Voices {
			fields = append(fields, yamlField{name: yamldoc.Quoted(v.Family), value: strconv.Itoa(v.Program)})
		}
		fmt.Fprintf(y, "\nvoices: %s\n", flow(fields))
	}
	if in.MIDI != nil {
		fmt.Fprintf(y, "\nmidi: %s\n", flowNode(in.MIDI))
	}
	return y.Flush()
}

func (y yamlWriter) head() {
	fmt.Fprintf(y, "format: 1\ninstrument: %s\n", yamldoc.Quoted(y.in.Name))
	p := y.in.Pitch
	fields := []yamlField{{name: "a4", value: decimal(p.A4)}}
	if p.Temperament != [12]float64{} {
		fields = append(fields, yamlField{name: "temperament", value: list(p.Temperament[:], decimal)})
	}
	fmt.Fprintf(y, "pitch: %s\n", flow(fields))
	if t := y.in.Transposer; t != (Reach{}) {
		fmt.Fprintf(y, "transposer: {low: %d, high: %d}\n", t.Low, t.High)
	}
}

// places writes what the pipes stand on and are played from.
func (y yamlWriter) places() {
	in := y.in
	section(y, "keyboards", in.Keyboards, func(k Keyboard) (string, []yamlField) {
		return k.ID, []yamlField{
			nameField(k.Name, k.ID),
			{name: "kind", value: string(k.Kind)},
			{name: "keys", value: k.Keys.String()},
			{name: "touches", value: unless(1, k.Touches)},
		}
	})
	section(y, "boxes", in.Boxes, func(b Box) (string, []yamlField) {
		return b.ID, y.box(b)
	})
	implied := 0 // the chests that divisions imply come first
	section(y, "divisions", in.Divisions, func(d Division) (string, []yamlField) {
		f := []yamlField{nameField(d.Name, d.ID)}
		if d.Keyboard != None {
			f = append(f, yamlField{name: "keyboard", value: in.Keyboards[d.Keyboard].ID})
		}
		f = append(f, yamlField{name: "notes", value: d.Notes.String()})
		if d.Chest != None {
			implied++
			f = append(f, yamlField{name: "chest", value: string(in.Chests[d.Chest].Kind)})
		}
		if d.Box != None {
			f = append(f, yamlField{name: "box", value: in.Boxes[d.Box].ID})
		}
		return d.ID, f
	})
	index := implied
	section(y, "chests", in.Chests[implied:], func(c Chest) (string, []yamlField) {
		f := []yamlField{{name: "kind", value: string(c.Kind)}}
		if c.Notes != in.union(c.Plays) {
			f = append(f, yamlField{name: "notes", value: c.Notes.String()})
		}
		if !slices.Equal(c.Plays, in.divisionsOn(index)) {
			f = append(f, yamlField{name: "plays", value: list(c.Plays, y.divisionID)})
		}
		index++
		return c.ID, f
	})
}

func (y yamlWriter) keyboardID(k int) string { return y.in.Keyboards[k].ID }
func (y yamlWriter) divisionID(d int) string { return y.in.Divisions[d].ID }
func (y yamlWriter) rankID(r int) string     { return y.in.Ranks[r].ID }
func (y yamlWriter) controlID(c int) string  { return y.in.Controls[c].ID }
