package main

import (
	"fmt"
	"io"
	"strings"

	"trundle/console/finding"
)

// text is the answer for somebody who stands before the board.
func (a whereAnswer) text(w io.Writer, ink ink) error {
	var b strings.Builder
	if a.Opens != "" {
		fmt.Fprintf(&b, "%s\n\n", a.Opens)
	}
	for i, net := range a.Nets {
		if i > 0 {
			b.WriteString("\n")
		}
		net.text(&b, ink)
	}
	for _, item := range a.Unwired {
		fmt.Fprintln(&b, ink.red(item+" hangs on no pin that could work it"))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func (n netAnswer) text(b *strings.Builder, ink ink) {
	fmt.Fprintln(b, ink.bold(strings.Join(n.Terminals, " = ")))
	var rows [][]string
	for _, h := range n.Hangs {
		what := strings.Join(strings.Fields(h.Kind+" "+h.Item+" "+h.Note), " ")
		rows = append(rows, []string{h.list(), what, "on " + h.Pin, h.wireAnswer.String(), h.place()})
	}
	if len(n.Hangs) == 0 {
		rows = append(rows, []string{"wired", "nothing", "", "", ""})
	}
	for _, l := range n.Legs {
		rows = append(rows, []string{"joined", l.From + " to " + l.To, "", l.wireAnswer.String(), l.place()})
	}
	for _, r := range n.Rows {
		rows = append(rows, []string{r.verb(), r.what(), "on " + r.Pin, "", r.place()})
	}
	if len(n.Rows) == 0 {
		rows = append(rows, []string{"switched", "by no row", "", "", ""})
	}
	writeTable(b, rows)
}

// list says which list of wiring has it.
func (h hangAnswer) list() string {
	switch {
	case h.Planned && h.Soldered:
		return "wired"
	case h.Planned:
		return "planned only"
	}
	return "soldered only"
}

// String is a wire as one looks for it: CX3 wire 14, pair 7, brown-white.
func (w wireAnswer) String() string {
	text := w.Cable
	if w.Wire > 0 {
		text += fmt.Sprintf(" wire %d", w.Wire)
	}
	if w.Pair > 0 {
		text += fmt.Sprintf(", pair %d", w.Pair)
	}
	if w.Colour != "" {
		text += ", " + w.Colour
	}
	return text
}

func (r rowAnswer) verb() string {
	if r.Kind == "read" {
		return "read to"
	}
	return "driven by"
}

func (r rowAnswer) what() string {
	words := strings.TrimSpace(r.Line + " " + r.Note)
	switch {
	case words == "":
		words = r.Control
	case r.Control != "":
		words += " while " + r.Control
	}
	if words == "" {
		return "nothing: it is always on"
	}
	return words
}

func (p placeAnswer) place() string {
	if p.Line == 0 && p.File != "" {
		return p.File + ", derived"
	}
	return finding.Place(p).String()
}
