package main

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"trundle/console/yamldoc"
)

// fields writes the fields of a kind of file, as its JSON schema has them:
// those of the file itself, then those of each kind of thing in it.
type fields struct {
	out  strings.Builder
	ink  ink
	defs *yamldoc.Node
	only string // the one field that is asked for, "" for all

	headings []string // that were written
}

func readFields(ink ink, schema []byte, only string) *fields {
	document, _ := yamldoc.Parse("schema", schema) // JSON is YAML, and this keeps its order
	return &fields{ink: ink, defs: document.Get("$defs"), only: only}
}

// writeFields writes the fields of a schema whose root definition has a name.
func writeFields(w io.Writer, ink ink, schema []byte, root, about string) error {
	f := readFields(ink, schema, "")
	fmt.Fprintf(&f.out, "%s\n", wrap(about, 80))
	f.object(root+".yaml", f.defs.Get(root))
	_, err := io.WriteString(w, f.out.String())
	return err
}

// below is a definition that a field leads to, and its heading.
type below struct {
	heading string
	def     *yamldoc.Node
}

// object writes the fields of a definition under a heading, then what they lead to.
func (f *fields) object(heading string, def *yamldoc.Node) {
	var all []below
	headed := false
	for _, p := range def.Get("properties").Pairs {
		if f.only == "" || means(f.only, p.Key.Text) {
			if !headed {
				fmt.Fprintf(&f.out, "\n%s\n", f.ink.bold(heading))
				f.headings, headed = append(f.headings, heading), true
			}
			f.field(def, p)
		}
		inner := f.inner(p.Value)
		for i, of := range inner {
			name := heading + ", " + p.Key.Text
			if i > 0 {
				name += ", " + f.name(of)
			}
			if !slices.ContainsFunc(all, func(b below) bool { return b.def == of }) {
				all = append(all, below{name, of})
			}
		}
	}
	for _, b := range all {
		f.object(b.heading, b.def)
	}
}

// means reports whether a word means a field of a name, or of several of it.
func means(word, name string) bool { return name == word || name == word+"s" }

// field writes a field of a definition.
func (f *fields) field(def *yamldoc.Node, p yamldoc.Pair) {
	what := f.what(p.Value)
	if needs(def, p.Key.Text) {
		what = strings.TrimPrefix(what+"; needed", "; ")
	}
	lines := strings.Split(wrap(what, 62), "\n")
	fmt.Fprintf(&f.out, "%s\n", strings.TrimRight(fmt.Sprintf("  %-14s %s", p.Key.Text, strings.Join(lines, "\n"+strings.Repeat(" ", 17))), " "))
}

// name is what the schema calls a definition.
func (f *fields) name(def *yamldoc.Node) string {
	for _, p := range f.defs.Pairs {
		if p.Value == def {
			return p.Key.Text
		}
	}
	return ""
}

// needs reports whether a definition requires a field.
func needs(def *yamldoc.Node, field string) bool {
	required := def.Get("required")
	return required != nil && slices.ContainsFunc(required.Items, func(n *yamldoc.Node) bool { return n.Text == field })
}

// resolve follows a reference.
func (f *fields) resolve(n *yamldoc.Node) *yamldoc.Node {
	for n != nil && n.Get("$ref") != nil {
		n = f.defs.Get(strings.TrimPrefix(n.Get("$ref").Text, "#/$defs/"))
	}
	return n
}

// inner are the definitions with fields that a value leads to: its own, that
// of the entries of a map or list, or those it may be one of.
func (f *fields) inner(n *yamldoc.Node) []*yamldoc.Node {
	var list []*yamldoc.Node
	if of := n.Get("additionalProperties"); of != nil && of.Kind == yamldoc.Map {
		return f.inner(of)
	}
	n = f.resolve(n)
	switch {
	case n == nil:
	case n.Get("properties") != nil:
		return []*yamldoc.Node{n}
	case n.Get("items") != nil:
		return f.inner(n.Get("items"))
	case n.Get("oneOf") != nil:
		for _, of := range n.Get("oneOf").Items {
			list = append(list, f.inner(of)...)
		}
	}
	return list
}

// what says in a few words what a value is.
func (f *fields) what(n *yamldoc.Node) string {
	var words []string
	says := func(n *yamldoc.Node) {
		if d := n.Get("description"); d != nil {
			words = append(words, d.Text)
		}
	}
	of := f.resolve(n)
	if choices := of.Get("enum"); choices != nil {
		var each []string
		for _, c := range choices.Items {
			each = append(each, c.Text)
		}
		words = append(words, alternatives(each))
	} else if low, high := of.Get("minimum"), of.Get("maximum"); low != nil && high != nil {
		words = append(words, low.Text+" to "+high.Text)
	} else if only := of.Get("const"); only != nil {
		words = append(words, only.Text)
	} else if of.Get("type") != nil && of.Get("type").Text == "boolean" {
		words = append(words, "true or false")
	}
	if n.Get("additionalProperties") != nil && n.Get("additionalProperties").Kind == yamldoc.Map {
		words = append(words, "a map by id")
	}
	if says(n); n.Get("description") == nil {
		says(of)
	}
	text := strings.Join(words, ": ")
	if otherwise := cmp.Or(n.Get("default"), of.Get("default")); otherwise != nil {
		text += "; " + otherwise.Text + " when not given"
	}
	return strings.TrimPrefix(text, "; ")
}
