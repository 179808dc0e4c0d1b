package console

import (
	"fmt"
	"slices"
	"strconv"

	"trundle/console/yamldoc"
)

func (y yamlWriter) rank(r Rank) (string, []yamlField) {
	f := []yamlField{nameField(r.Name, r.ID)}
	chest := None // where it stands unless it says otherwise
	if r.Division != None {
		chest = y.in.Divisions[r.Division].Chest
		f = append(f, yamlField{name: "division", value: y.divisionID(r.Division)})
	}
	if r.Family != "" {
		f = append(f, yamlField{name: "family", value: yamldoc.Quoted(r.Family)})
	}
	f = append(f, feetField(r.Feet))
	if r.From != bottomC {
		f = append(f, yamlField{name: "from", value: r.From.String()})
	}
	f = append(f, yamlField{name: "pipes", value: strconv.Itoa(r.Pipes)})
	if r.Cents != 0 {
		f = append(f, yamlField{name: "cents", value: decimal(r.Cents)})
	}
	if r.Sounds != "pipes" {
		f = append(f, yamlField{name: "sounds", value: yamldoc.Quoted(r.Sounds)})
	}
	f = append(f, yamlField{name: "strikes", value: r.Strikes})
	if len(r.Stands) != 1 || r.Stands[0].Chest != chest {
		f = append(f, yamlField{name: "stands", value: y.stands(r.Stands)})
	}
	return r.ID, append(f, breakFields(r.Breaks)...)
}

// stands names every chest once, with all the valves that stand on it.
func (y yamlWriter) stands(stands []Stand) string {
	var fields []yamlField
	for _, s := range stands {
		id, valves := y.in.Chests[s.Chest].ID, fmt.Sprintf("%d..%d", s.From, s.To)
		i := slices.IndexFunc(fields, func(f yamlField) bool { return f.name == id })
		if i < 0 {
			fields = append(fields, yamlField{name: id, value: valves})
		} else {
			fields[i].value += " " + valves
		}
	}
	return flow(fields)
}

// breakFields writes the rows as the file had them. They count from 16 foot
// where counting from 8 gives another pitch.
func breakFields(breaks []Break) []yamlField {
	figuredFrom := ""
	var lines []string
	for _, b := range breaks {
		for _, row := range b.Rows {
			if from8, _, err := parseRow(row.Text, 8); err == nil && from8 != row {
				figuredFrom = "16"
			}
		}
		lines = append(lines, b.From.String()+": "+list(b.Rows, func(r Row) string { return r.Text }))
	}
	return []yamlField{{name: "figured-from", value: figuredFrom}, {name: "breaks", lines: lines}}
}

func (y yamlWriter) stop(s Stop) (string, []yamlField) {
	f := []yamlField{
		nameField(s.Name, s.ID),
		{name: "division", value: y.divisionID(s.Division)},
		feetField(s.Feet),
		spanField("notes", s.Notes),
	}
	if whole := s.Takes[0]; len(s.Takes) == 1 && whole.Notes == AllNotes && y.footage(whole, s.Feet) == "" {
		f = append(f, yamlField{name: "rank", value: y.rankID(whole.Rank)})
		f = append(f, beyondFields(whole)...)
	} else {
		var takes []string
		for _, t := range s.Takes {
			fields := []yamlField{{name: "rank", value: y.rankID(t.Rank)}, {name: "feet", value: y.footage(t, s.Feet)}, spanField("notes", t.Notes)}
			takes = append(takes, "- "+flow(append(fields, beyondFields(t)...)))
		}
		f = append(f, yamlField{name: "takes", lines: takes})
	}
	if s.Level != nil {
		f = append(f, yamlField{name: "level", value: decimal(*s.Level)})
	}
	return s.ID, append(f, yamlField{name: "touch", value: unless(1, s.Touch)}, y.style(s.Control))
}

// footage is what a take says beside its stop: nothing where it has the
// stop's, or where its rank has breaks.
func (y yamlWriter) footage(t Take, stop Feet) string {
	if t.Feet.IsZero() {
		return ""
	}
	return unless(stop, t.Feet)
}

func beyondFields(t Take) []yamlField {
	if t.Above == t.Below {
		return []yamlField{{name: "beyond", value: unless(string(Silent), string(t.Above))}}
	}
	return []yamlField{{name: "above", value: unless(string(Silent), string(t.Above))}, {name: "below", value: unless(string(Silent), string(t.Below))}}
}
