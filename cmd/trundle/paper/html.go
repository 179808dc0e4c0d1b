package paper

import (
	"html"
	"html/template"
	"io"
	"slices"
	"strings"
)

// WriteHTML writes the paper as one page that needs no network and no script.
func (p *Paper) WriteHTML(w io.Writer) error { return page.Execute(w, p) }

var page = template.Must(template.New("paper").Funcs(template.FuncMap{
	"mark":      mark,
	"breakable": breakable,
	"coloured":  func(t *Table, column int) bool { return column+1 == t.Colour },
	"filled":    filled,
	"size":      size,
	"strokes":   func() template.CSS { return strokes },
}).Parse(`{{define "drawing"}}<figure>
<svg role="img" aria-labelledby="{{.ID}}-title {{.ID}}-text" viewBox="0 0 {{.Of.Width}} {{.Of.Height}}" style="max-width: {{.Of.Width}}px">
<title id="{{.ID}}-title">{{.Of.Title}}</title>
<desc id="{{.ID}}-text">{{.Of.Text}}</desc>
{{.Of.Body}}</svg>
<figcaption>{{.Of.Title}}. {{.Of.Text}}</figcaption>
</figure>
{{end}}{{define "table"}}<div class="wide{{size .}}" role="region" tabindex="0" aria-label="{{.Caption}}"><table>
<caption>{{.Caption}}</caption>
<thead><tr>{{range .Head}}<th scope="col">{{.}}</th>{{end}}</tr></thead>
<tbody>
{{$t := .}}{{range .Rows}}<tr>{{range $i, $cell := .}}{{if and (eq $i 0) $cell}}<th scope="row">{{breakable .}}</th>{{else}}<td>{{if coloured $t $i}}{{mark .}}{{end}}{{breakable .}}</td>{{end}}{{end}}</tr>
{{end}}</tbody>
</table></div>
{{end}}<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{{.Title}}</title>
<style>
body { font: 11pt/1.45 Georgia, "Times New Roman", serif; color: #000; background: #fff; max-width: 64em; margin: 2em auto; padding: 0 1em; overflow-wrap: anywhere; }
h1 { font-size: 1.9em; margin: 0 0 .2em; } h2 { font-size: 1.4em; margin: 1.6em 0 .3em; border-bottom: 2px solid #000; } h3 { font-size: 1.1em; margin: 1.2em 0 .2em; }
p { max-width: 44em; } .lines { margin: 0; }
.caution { border: 2px solid #000; padding: .5em .8em; max-width: 44em; }
nav ol { columns: 16em; padding-left: 1.4em; } a { color: #003a8c; }
.wide { overflow-x: auto; } .wide:focus-visible { outline: 2px solid #003a8c; }
table { border-collapse: collapse; margin: .4em 0 1em; font-size: .9em; }
caption { text-align: left; font-style: italic; padding: .2em 0; }
th, td { text-align: left; vertical-align: top; padding: .15em .8em .15em 0; border-bottom: 1px solid #999; font-weight: normal; overflow-wrap: break-word; }
thead th { font-weight: bold; border-bottom: 1px solid #000; }
figure { margin: .6em 0; } figcaption { font-style: italic; font-size: .9em; max-width: 48em; }
{{strokes}}
svg { width: 100%; height: auto; } svg.mark { width: 24px; height: 10px; } svg.mark rect { stroke: none; } svg.mark rect:first-child { stroke: #000; }
.tags { display: grid; grid-template-columns: repeat(auto-fill, minmax(15em, 1fr)); gap: .4em; }
.tag { border: 1px dashed #000; padding: .4em .6em; break-inside: avoid; font-size: .85em; } .tag strong { display: block; font-size: 1.2em; }
.sign { border-top: 1px solid #000; margin-top: 3.2em; padding-top: .2em; width: 20em; max-width: 100%; break-inside: avoid; }
@page { margin: 15mm; }
@media print { body { margin: 0; max-width: none; font-size: 9.5pt; } .wide { overflow: visible; } .short, section:has(.sign) { break-inside: avoid; }
.long table { font-size: 7.5pt; line-height: 1.1; } .long :is(th, td) { padding: 0 .8em 0 0; } .long caption { padding: 0; }
.break { break-before: page; } .break > :first-child { margin-top: 0; } h2, h3 { break-after: avoid; } tr, figure { break-inside: avoid; } thead { display: table-header-group; } a { color: #000; text-decoration: none; } }
</style>
</head>
<body>
<header>
<h1>{{.Title}}</h1>
{{range .Lines}}<p class="lines">{{.}}</p>
{{end}}<p class="caution"><strong>Caution:</strong> {{.Caution}}.</p>
<nav aria-label="Contents"><ol>
{{range .Sections}}{{if not .Inside}}<li><a href="#{{.ID}}">{{.Title}}</a></li>
{{end}}{{end}}</ol></nav>
</header>
<main>
{{range $s := .Sections}}<section id="{{.ID}}"{{if .Break}} class="break"{{end}}>
{{if .Inside}}<h3>{{.Title}}</h3>{{else}}<h2>{{.Title}}</h2>{{end}}
{{range .Text}}<p>{{.}}</p>
{{end}}{{range $i, $p := .Parts}}{{with .Drawing}}{{template "drawing" ($s.Drawn $i .)}}{{end}}{{with .Table}}{{if not .Apart}}{{template "table" filled .}}{{end}}{{end}}{{if .Tags}}<div class="tags">
{{range .Tags}}<div class="tag">{{range $i, $line := .}}{{if eq $i 0}}<strong>{{.}}</strong>{{else}}{{.}}<br>{{end}}{{end}}</div>
{{end}}</div>
{{end}}{{range .Sign}}<div class="sign">{{.}}</div>
{{end}}{{end}}</section>
{{end}}</main>
</body>
</html>
`))

// drawn is a drawing with an id for its words.
type drawn struct {
	ID string
	Of *Drawing
}

// Drawn gives the drawing of a part an id of its own.
func (s Section) Drawn(part int, d *Drawing) drawn {
	return drawn{s.ID + "-" + string(rune('a'+part)), d}
}

// filled is a table without those columns in which nothing stands.
func filled(t *Table) *Table {
	kept := *t
	kept.Head, kept.Rows, kept.Colour = nil, make([][]string, len(t.Rows)), 0
	for i, head := range t.Head {
		if !slices.ContainsFunc(t.Rows, func(row []string) bool { return row[i] != "" }) {
			continue
		}
		kept.Head = append(kept.Head, head)
		for r, row := range t.Rows {
			kept.Rows[r] = append(kept.Rows[r], row[i])
		}
		if i+1 == t.Colour {
			kept.Colour = len(kept.Head)
		}
	}
	return &kept
}

// size says how a table is printed: a short one on one page, a long one in
// small letters, so that a board of 64 pins still fits on its own.
func size(t *Table) string {
	switch n := len(t.Rows); {
	case n <= 12:
		return " short"
	case n > 40:
		return " long"
	}
	return ""
}

// breakable is a text that may go on in another line behind a slash or comma,
// and within a digest.
func breakable(text string) template.HTML {
	var b strings.Builder
	word := 0
	for _, r := range text {
		b.WriteString(html.EscapeString(string(r)))
		if word++; r == ' ' {
			word = 0
		} else if len(text) > 30 && (r == '/' || r == ',') || word%16 == 0 && len(text) >= 64 && !strings.ContainsAny(text, " /") {
			b.WriteString("<wbr>")
		}
	}
	return template.HTML(b.String())
}
