package paper

import (
	"fmt"
	"html/template"
	"strings"
)

// inks are the colours of wires as a screen or printer shows them.
var inks = map[string]string{
	"white": "#ffffff", "black": "#000000", "red": "#d00000", "yellow": "#f5d800", "violet": "#7a2fa0", "blue": "#1f4fd0",
	"orange": "#f08000", "green": "#0a8a2a", "brown": "#7a4a1e", "slate": "#808890", "grey": "#808890", "pink": "#f090b0",
	"turquoise": "#20b0a8", "gold": "#c8a000", "silver": "#c0c0c0",
}

// mark shows a wire: its first colour, with bands of the others. The words
// stand beside it, for those who see no colours and for copies.
func mark(name string) template.HTML {
	var b strings.Builder
	words := strings.Split(name, "-")
	for i, word := range words {
		ink, known := inks[word]
		switch {
		case !known:
			return ""
		case i == 0:
			fmt.Fprintf(&b, `<rect x="0.5" y="0.5" width="23" height="9" style="fill: %s"/>`, ink)
		default:
			for at := 4 * i; at < 22; at += 4 * len(words) {
				fmt.Fprintf(&b, `<rect x="%d" y="1" width="4" height="8" style="fill: %s"/>`, at, ink)
			}
		}
	}
	return template.HTML(`<svg class="mark" aria-hidden="true" width="24" height="10">` + b.String() + `</svg> `)
}
