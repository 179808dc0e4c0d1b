package console

import "strconv"

func (y yamlWriter) box(b Box) []yamlField {
	f := []yamlField{
		nameField(b.Name, b.ID),
		{name: "stages", value: strconv.Itoa(b.Stages)},
		{name: "code", value: string(b.Code)},
		{name: "rest", value: string(b.Rest)},
	}
	return append(f,
		yamlField{name: "table", value: list(b.Table, func(magnets []int) string { return brackets(magnets, strconv.Itoa) })},
		yamlField{name: "softens", value: unless("0", decimal(b.Softens))})
}

// modifiers writes the controls that act in the console machine only.
func (y yamlWriter) modifiers() {
	section(y, "sostenutos", y.in.Sostenutos, func(s Sostenuto) (string, []yamlField) {
		return s.ID, []yamlField{nameField(s.Name, s.ID), {name: "keyboards", value: brackets(s.Keyboards, y.keyboardID)}, y.style(s.Control)}
	})
	section(y, "gatherings", y.in.Gatherings, func(g Gathering) (string, []yamlField) {
		return g.ID, []yamlField{nameField(g.Name, g.ID), {name: "shoe", value: y.in.Shoes[g.Shoe].ID}, y.style(g.Control)}
	})
	section(y, "follows", y.in.Follows, func(f Follow) (string, []yamlField) {
		return f.ID, []yamlField{nameField(f.Name, f.ID), {name: "division", value: y.divisionID(f.Division)},
			{name: "with", value: y.divisionID(f.With)}, y.style(f.Control)}
	})
}
