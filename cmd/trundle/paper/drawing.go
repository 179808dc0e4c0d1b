package paper

import (
	"fmt"
	"html"
	"html/template"
	"strings"
)

// Pen draws. All is in black on white, so that it can be copied.
type Pen struct{ b strings.Builder }

// Text writes at a point: middle, start or end says which part of it is there.
func (p *Pen) Text(x, y float64, anchor, text string) {
	fmt.Fprintf(&p.b, `<text x="%.1f" y="%.1f" text-anchor="%s">%s</text>`+"\n", x, y, anchor, html.EscapeString(text))
}

// Small writes in a smaller hand.
func (p *Pen) Small(x, y float64, anchor, text string) {
	fmt.Fprintf(&p.b, `<text class="small" x="%.1f" y="%.1f" text-anchor="%s">%s</text>`+"\n", x, y, anchor, html.EscapeString(text))
}

// Line draws a line, a class of "thin", "thick" or "dashed".
func (p *Pen) Line(class string, x1, y1, x2, y2 float64) {
	fmt.Fprintf(&p.b, `<line class="%s" x1="%.1f" y1="%.1f" x2="%.1f" y2="%.1f"/>`+"\n", class, x1, y1, x2, y2)
}

// Box draws a rectangle.
func (p *Pen) Box(class string, x, y, width, height float64) {
	fmt.Fprintf(&p.b, `<rect class="%s" x="%.1f" y="%.1f" width="%.1f" height="%.1f"/>`+"\n", class, x, y, width, height)
}

// Path draws a line through points, x and y by turns.
func (p *Pen) Path(class string, points ...float64) {
	fmt.Fprintf(&p.b, `<polyline class="%s" points="`, class)
	for i := 0; i+1 < len(points); i += 2 {
		fmt.Fprintf(&p.b, "%.1f,%.1f ", points[i], points[i+1])
	}
	p.b.WriteString("\"/>\n")
}

// Drawn is what has been drawn.
func (p *Pen) Drawn(title, text string, width, height int) *Drawing {
	return &Drawing{title, text, width, height, template.HTML(p.b.String())} // every text in it was escaped
}

// Body is the inside of its SVG element.
func (d *Drawing) Body() template.HTML { return d.body }
