package paper

import (
	"html/template"
	"io"
)

// WriteHTML writes the paper as one page that needs no network and no script.
func (p *Paper) WriteHTML(w io.Writer) error { return page.Execute(w, p) }

var page = template.Must(template.New("paper").Funcs(template.FuncMap{
	"lay":     lay,
	"strokes": func() template.CSS { return strokes },
	"style":   func() template.CSS { return style },
}).Parse(`{{define "drawing"}}<figure role="group" tabindex="0" aria-label="{{.Of.Title}}">
<svg role="img" aria-labelledby="{{.ID}}-title {{.ID}}-text" viewBox="0 0 {{.Of.Width}} {{.Of.Height}}" style="max-width: {{.Of.Width}}px">
<title id="{{.ID}}-title">{{.Of.Title}}</title>
<desc id="{{.ID}}-text">{{.Of.Text}}</desc>
{{.Of.Body}}</svg>
<figcaption>{{.Of.Title}}. {{.Of.Text}}</figcaption>
</figure>
{{end}}{{define "table"}}<div class="wide {{.Class}}" role="region" tabindex="0" aria-label="{{.Caption}}"><table>
<caption>{{.Caption}}</caption>
<thead><tr>{{range .Head}}<th scope="col"{{if .Number}} class="n"{{end}}>{{.Text}}</th>{{end}}</tr></thead>
{{$columns := len .Head}}{{range .Groups}}<tbody>
{{if .Text}}<tr class="group"><th scope="rowgroup" colspan="{{$columns}}">{{.Text}}</th></tr>
{{end}}{{range .Rows}}<tr>{{range .}}{{if .IsHead}}<th scope="row"{{with .Class}} class="{{.}}"{{end}}>{{.Text}}</th>{{else}}<td{{with .Class}} class="{{.}}"{{end}} data-head="{{.Head}}">{{.Mark}}{{.Text}}</td>{{end}}{{end}}</tr>
{{end}}</tbody>
{{end}}</table></div>
{{end}}<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{{.Title}}</title>
<style>
{{style}}
{{strokes}}
@page { @bottom-left { content: "{{.Title}}"; font: 8pt Georgia, serif; } }
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
{{with .Verdict}}<p class="verdict">{{.}}</p>
{{end}}{{range .Text}}<p>{{.}}</p>
{{end}}{{range $i, $p := .Parts}}{{with .Drawing}}{{template "drawing" ($s.Drawn $i .)}}{{end}}{{with .Table}}{{if not .Apart}}{{template "table" lay .}}{{end}}{{end}}{{if .Tags}}<div class="tags">
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
