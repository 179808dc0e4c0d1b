package console

import (
	"fmt"
	"strconv"

	"trundle/console/yamldoc"
)

func (y yamlWriter) shoe(s Shoe) (string, []yamlField) {
	drives := list(s.Boxes, func(b int) string { return y.in.Boxes[b].ID })
	if s.Crescendo {
		drives = "crescendo"
	}
	return s.ID, []yamlField{nameField(s.Name, s.ID), {name: "drives", value: drives}}
}

// blinds writes the crescendo, a line a stage, and the tutti.
func (y yamlWriter) blinds() {
	if len(y.in.Crescendo) > 0 {
		fmt.Fprint(y, "\ncrescendo:\n")
	}
	for i, s := range y.in.Crescendo {
		indent := "    "
		switch {
		case s.Name == "":
			fmt.Fprint(y, "  stages:\n")
		case i == 0:
			fmt.Fprint(y, "  sequences:\n")
			fallthrough
		default:
			fmt.Fprintf(y, "    %s:\n", yamldoc.Quoted(s.Name))
			indent = "      "
		}
		for _, stage := range s.Stages {
			fmt.Fprintf(y, "%s- %s\n", indent, y.blind(stage.Blind))
		}
	}
	if t := y.in.Tutti; len(t.Adds)+len(t.Drops) > 0 {
		fmt.Fprintf(y, "\ntutti: %s\n", y.blind(t))
	}
}

// blind is a list of what is added, or a map where something is dropped too.
func (y yamlWriter) blind(b Blind) string {
	adds := brackets(b.Adds, y.controlID)
	if len(b.Drops) == 0 {
		return adds
	}
	return flow([]yamlField{{name: "adds", value: adds}, {name: "drops", value: list(b.Drops, y.controlID)}})
}

func (y yamlWriter) combination() {
	c := y.in.Combination
	if c == nil {
		return
	}
	fmt.Fprintf(y, "\ncombination:\n  memories: %d\n", c.Memories)
	if c.End != "" {
		fmt.Fprintf(y, "  end: %s\n", c.End)
	}
	if c.Travel != 0 {
		fmt.Fprintf(y, "  travel: %d\n", c.Travel)
	}
	if len(c.Buttons) > 0 {
		fmt.Fprint(y, "  buttons:\n")
	}
	for _, b := range c.Buttons {
		y.item("    ", b.ID, y.button(b))
	}
}

// button leaves out what a button has from the one it repeats.
func (y yamlWriter) button(b Button) []yamlField {
	f := []yamlField{nameField(b.Name, b.ID)}
	if b.Repeats != None {
		f = append(f, yamlField{name: "repeats", value: y.in.Combination.Buttons[b.Repeats].ID})
	} else {
		f = append(f, yamlField{name: "kind", value: string(b.Kind)})
		f = append(f, y.work(b)...)
	}
	if b.Keyboard != None {
		f = append(f, yamlField{name: "keyboard", value: y.keyboardID(b.Keyboard)})
	}
	if b.Toe {
		f = append(f, yamlField{name: "toe", value: strconv.FormatBool(b.Toe)})
	}
	return f
}

// work is what a button acts on.
func (y yamlWriter) work(b Button) []yamlField {
	var f []yamlField
	if b.Division != None {
		f = append(f, yamlField{name: "division", value: y.divisionID(b.Division)})
	}
	switch b.Scope {
	case ScopePlayed:
		f = append(f, yamlField{name: "scope", value: string(b.Scope)})
	case ScopeList:
		f = append(f, yamlField{name: "scope", value: brackets(b.List, y.controlID)})
	}
	f = append(f, yamlField{name: "leaves", value: list(b.Leaves, y.controlID)})
	if b.Control != None {
		f = append(f, yamlField{name: "control", value: y.controlID(b.Control)})
	}
	switch {
	case b.Fixed && (b.Kind == General || b.Kind == Divisional):
		f = append(f, yamlField{name: "sets", value: brackets(b.Sets, y.controlID)})
	case b.Fixed:
		f = append(f, yamlField{name: "fixed", value: "true"})
	}
	return f
}
