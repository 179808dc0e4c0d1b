package desk

import (
	"fmt"
	"html"
	"io"
	"strings"
	"time"
)

// Of a picture: its size in columns and rows, and that of a cell in pixels.
const (
	pictureWidth, pictureHeight = 104, 48
	cellWidth, cellHeight       = 8, 16
)

// pictureInks are what paper has for each ink; all have a contrast of more than
// 4.5 to 1 on white.
var pictureInks = [inks]string{Plain: "#222", Dim: "#666", Title: "#005a6e", On: "#00398c", Blind: "#8a1a7a", Held: "#a01010", Moved: "#00398c", Coupled: "#8a1a7a", Wrong: "#a01010"}

// Picture writes the screen as it is when the script has ended, as SVG.
func Picture(w io.Writer, m *Model) error {
	m.Resize(pictureWidth, pictureHeight)
	for m.script != nil && m.script.next < len(m.script.log) {
		due, _ := m.Next()
		m.Tick(due)
	}
	m.Tick(m.now + time.Second) // knobs arrive
	m.message = ""
	g := NewGrid(pictureWidth, pictureHeight)
	Draw(m, g)
	return g.writeSVG(w, m.in.Name)
}

// writeSVG writes a screen, each word where its cells are whatever the font.
func (g *Grid) writeSVG(w io.Writer, name string) error {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="title" viewBox="0 0 %d %d" width="%d" height="%d" font-family="DejaVu Sans Mono, Menlo, Consolas, monospace" font-size="13">
<title id="title">The desk of %s</title>
<rect width="100%%" height="100%%" fill="#fff"/>
`, g.W*cellWidth, g.H*cellHeight, g.W*cellWidth, g.H*cellHeight, html.EscapeString(name))
	for y := range g.H {
		row := g.Cells[y*g.W : (y+1)*g.W]
		for x := 0; x < g.W; {
			if strings.TrimSpace(row[x].Text) == "" {
				x++
				continue
			}
			end, text := x, ""
			for end < g.W && row[end].Text != " " && row[end].Ink == row[x].Ink {
				text += row[end].Text
				end++
			}
			bold := ""
			if ink := row[x].Ink; ink != Plain && ink != Dim {
				bold = ` font-weight="bold"`
			}
			fmt.Fprintf(&b, `<text x="%d" y="%d" textLength="%d" lengthAdjust="spacingAndGlyphs" fill="%s"%s>%s</text>`+"\n",
				x*cellWidth, y*cellHeight+12, (end-x)*cellWidth, pictureInks[row[x].Ink], bold, html.EscapeString(text))
			x = end
		}
	}
	b.WriteString("</svg>\n")
	_, err := io.WriteString(w, b.String())
	return err
}
