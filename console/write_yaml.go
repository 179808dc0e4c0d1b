package console

import (
	"bufio"
	"fmt"
	"strconv"
	"strings"

	"trundle/console/yamldoc"
)

// yamlWriter writes the sections of an instrument; the first error of a write
// stays in its Writer.
type yamlWriter struct {
	*bufio.Writer
	in *Instrument
}

// yamlField is a field of an item: on the item's line, or as lines below it.
// It is left out when it has neither.
type yamlField struct {
	name, value string
	lines       []string
}

// section writes the items of one map, or nothing without items.
func section[T any](y yamlWriter, name string, items []T, fields func(T) (string, []yamlField)) {
	if len(items) == 0 {
		return
	}
	fmt.Fprintf(y, "\n%s:\n", name)
	for _, item := range items {
		id, f := fields(item)
		y.item("  ", id, f)
	}
}

// item writes one entry of a map by id, on one line where no field has lines.
func (y yamlWriter) item(indent, id string, fields []yamlField) {
	below := false
	for _, f := range fields {
		below = below || len(f.lines) > 0
	}
	if !below {
		fmt.Fprintf(y, "%s%s: %s\n", indent, yamldoc.Quoted(id), flow(fields))
		return
	}
	fmt.Fprintf(y, "%s%s:\n", indent, yamldoc.Quoted(id))
	for _, f := range fields {
		if f.value != "" {
			fmt.Fprintf(y, "%s  %s: %s\n", indent, f.name, f.value)
		}
		if len(f.lines) > 0 {
			fmt.Fprintf(y, "%s  %s:\n", indent, f.name)
		}
		for _, line := range f.lines {
			fmt.Fprintf(y, "%s    %s\n", indent, line)
		}
	}
}

// flow is the fields that have a value as a map on one line.
func flow(fields []yamlField) string {
	var parts []string
	for _, f := range fields {
		if f.value != "" {
			parts = append(parts, f.name+": "+f.value)
		}
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

// brackets is items as a list on one line.
func brackets[T any](items []T, text func(T) string) string {
	texts := make([]string, len(items))
	for i, item := range items {
		texts[i] = text(item)
	}
	return "[" + strings.Join(texts, ", ") + "]"
}

// list is items as a list on one line, "" without any.
func list[T any](items []T, text func(T) string) string {
	if len(items) == 0 {
		return ""
	}
	return brackets(items, text)
}

// flowNode is a tree as it was read, on one line.
func flowNode(n *yamldoc.Node) string {
	switch n.Kind {
	case yamldoc.List:
		return brackets(n.Items, flowNode)
	case yamldoc.Map:
		fields := make([]yamlField, len(n.Pairs))
		for i, p := range n.Pairs {
			fields[i] = yamlField{name: yamldoc.Quoted(p.Key.Text), value: flowNode(p.Value)}
		}
		return flow(fields)
	}
	return yamldoc.Quoted(n.Text)
}

func nameField(name, id string) yamlField {
	if name == id {
		return yamlField{}
	}
	return yamlField{name: "name", value: yamldoc.Quoted(name)}
}

func spanField(name string, s Span) yamlField {
	if s == AllNotes {
		return yamlField{}
	}
	return yamlField{name: name, value: s.String()}
}

func feetField(f Feet) yamlField {
	if f.IsZero() {
		return yamlField{}
	}
	return yamlField{name: "feet", value: f.String()}
}

// unless is a value as text, "" where it is the default.
func unless[T comparable](otherwise, value T) string {
	if value == otherwise {
		return ""
	}
	return fmt.Sprint(value)
}

func decimal(f float64) string { return strconv.FormatFloat(f, 'f', -1, 64) }
