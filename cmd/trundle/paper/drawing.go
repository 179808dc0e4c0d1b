package paper

import (
	"fmt"
	"html"
	"html/template"
	"io"
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

// WriteSVG writes the drawing as a file of its own.
func (d *Drawing) WriteSVG(w io.Writer) error {
	_, err := fmt.Fprintf(w, `<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="title text" viewBox="0 0 %d %d" width="%d" height="%d">
<title id="title">%s</title>
<desc id="text">%s</desc>
<style>%s svg { background: #fff; }</style>
%s</svg>
`, d.Width, d.Height, d.Width, d.Height, html.EscapeString(d.Title), html.EscapeString(d.Text), strokes, d.body)
	return err
}

// strokes are the styles of what a pen draws.
const strokes = `svg { font: 13px Georgia, serif; } .small { font-size: 11px; } rect { fill: none; stroke: #000; }
.grey { fill: #e4e4e4; } .full { fill: #000; } line, polyline { stroke: #000; fill: none; } .thin { stroke-width: .6; } .thick { stroke-width: 2; } .dashed { stroke-dasharray: 4 3; }`
