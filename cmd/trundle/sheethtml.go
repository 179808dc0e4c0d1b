package main

import "html/template"

// sheetPage is the papers as one page that needs nothing else, to print.
var sheetPage = template.Must(template.New("sheet").Funcs(template.FuncMap{
	"stopHeader":   func() []string { return stopHeader },
	"buttonHeader": func() []string { return buttonHeader },
	"pinHeader":    func() []string { return pinHeader },
}).Parse(`{{define "header"}}<thead><tr>{{range .}}<th>{{.}}</th>{{end}}</tr></thead>{{end -}}
{{define "row"}}<tr>{{range .Cells}}<td>{{.}}</td>{{end}}</tr>
{{end -}}
{{define "stops"}}<table>
{{template "header" stopHeader}}
<tbody>
{{range .}}{{template "row" .}}{{end}}</tbody>
</table>
{{end -}}
<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<title>{{.Instrument}}</title>
<style>
body { font: 11pt/1.4 serif; max-width: 70em; margin: 2em auto; padding: 0 1em; }
table { border-collapse: collapse; margin: .5em 0; }
th, td { text-align: left; vertical-align: top; padding: .15em .7em .15em 0; border-bottom: 1px solid #bbb; }
thead { display: table-header-group; }
tr { break-inside: avoid; }
</style>
</head>
<body>
<h1>{{.Instrument}}</h1>
{{range .Divisions}}<h2>{{.Name}}</h2>
{{template "stops" .Stops}}{{if .Percussions}}<h3>Percussions, which have no pipes</h3>
{{template "stops" .Percussions}}{{end}}<p>{{.Totals}}</p>
{{end}}<p><strong>In all: {{.Totals}}</strong></p>
{{if .Buttons}}<h2>Pistons</h2>
<table>
{{template "header" buttonHeader}}
<tbody>
{{range .Buttons}}{{template "row" .}}{{end}}</tbody>
</table>
{{end}}{{if .Pins}}<h2>Pins</h2>
<table>
{{template "header" pinHeader}}
<tbody>
{{range .Pins}}{{template "row" .}}{{end}}</tbody>
</table>
{{end}}</body>
</html>
`))
