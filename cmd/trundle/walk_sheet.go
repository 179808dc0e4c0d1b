package main

import (
	"fmt"
	"html/template"
	"io"
	"strings"

	"trundle/sim/walk"
)

// walkAnswer is the steps of a walk, in the shape of schema trundle.walk/1.
type walkAnswer struct {
	Schema     string      `json:"schema"`
	Instrument string      `json:"instrument"`
	Steps      int         `json:"steps"`
	Phases     []walkPhase `json:"phases"`
}

type walkPhase struct {
	Name    string     `json:"name"`
	About   string     `json:"about"`
	Caution string     `json:"caution"`
	Strict  bool       `json:"strict"` // what is wrong in it is mended or accepted before the next begins
	Steps   []walkStep `json:"steps"`
}

type walkStep struct {
	ID     string   `json:"id"`
	Group  string   `json:"group"`
	Do     string   `json:"do"`
	Expect string   `json:"expect"`
	Pins   []string `json:"pins"`
	Cold   rounded  `json:"cold"` // amps, 0 where nothing is known
	Hot    rounded  `json:"hot"`
	Pulse  rounded  `json:"pulse_ms"`
	Ask    bool     `json:"ask"` // whether the chamber is clear
}

func answerWalk(name string, steps []walk.Step, pins func(walk.Step) []string) walkAnswer {
	a := walkAnswer{Schema: "trundle.walk/1", Instrument: name, Steps: len(steps), Phases: []walkPhase{}}
	for i, s := range steps {
		if i == 0 || s.Phase != steps[i-1].Phase {
			a.Phases = append(a.Phases, walkPhase{s.Phase.String(), s.Phase.About(), s.Phase.Caution(), s.Phase.Strict(), []walkStep{}})
		}
		step := walkStep{ID: s.ID, Group: s.Group, Do: s.Do, Expect: s.Expect, Pins: pins(s), Pulse: rounded(s.Pulse), Ask: s.Ask}
		if s.Amps != nil {
			step.Cold, step.Hot = rounded(s.Amps.Cold), rounded(s.Amps.Hot)
		}
		phase := &a.Phases[len(a.Phases)-1]
		phase.Steps = append(phase.Steps, step)
	}
	return a
}

// Meter is what a meter should show, "" where nothing is known.
func (s walkStep) Meter() string {
	if s.Cold == 0 {
		return ""
	}
	return amps(s.Cold) + " A"
}

// From reports the first step of a group, whose name stands before it.
func (p walkPhase) From(i int) bool { return i == 0 || p.Steps[i].Group != p.Steps[i-1].Group }

func walkRows(a walkAnswer) [][]string {
	rows := [][]string{{"phase", "group", "step", "do", "expect", "pins", "amps", "pulse-ms", "verdict", "reading", "words"}}
	for _, p := range a.Phases {
		for _, s := range p.Steps {
			meter, pulse := "", ""
			if s.Cold != 0 {
				meter = amps(s.Cold)
			}
			if s.Pulse != 0 {
				pulse = amps(s.Pulse)
			}
			rows = append(rows, []string{p.Name, s.Group, s.ID, s.Do, s.Expect, strings.Join(s.Pins, " "), meter, pulse, "", "", ""})
		}
	}
	return rows
}

func writeWalkText(w io.Writer, a walkAnswer, ink ink) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", ink.bold(fmt.Sprintf("%s: %s in %s", a.Instrument, count(a.Steps, "step"), count(len(a.Phases), "phase"))))
	for n, p := range a.Phases {
		fmt.Fprintf(&b, "\n%s\n", ink.bold(fmt.Sprintf("%d. %s: %s", n+1, p.Name, p.About)))
		if p.Caution != "" {
			fmt.Fprintf(&b, "   %s\n", ink.yellow(p.Caution))
		}
		expect := ""
		for i, s := range p.Steps {
			if p.From(i) {
				expect = s.Expect
				fmt.Fprintf(&b, " %s: %s\n", s.Group, expect)
			}
			fmt.Fprintf(&b, "  [ ] %s", s.Do)
			if s.Expect != expect {
				fmt.Fprintf(&b, ": %s", s.Expect)
			}
			if len(s.Pins) > 0 && p.Name != walk.Legs.String() {
				fmt.Fprintf(&b, "  %s", strings.Join(s.Pins, " "))
			}
			if meter := s.Meter(); meter != "" {
				fmt.Fprintf(&b, "  %s", meter)
			}
			b.WriteByte('\n')
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// walkPage is the worksheet as one page that needs nothing else, to print.
var walkPage = template.Must(template.New("walk").Parse(`<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<title>{{.Instrument}}: worksheet</title>
<style>
body { font: 10pt/1.3 serif; max-width: 70em; margin: 2em auto; padding: 0 1em; }
table { border-collapse: collapse; width: 100%; margin: .5em 0; }
th, td { text-align: left; vertical-align: top; padding: .15em .7em .15em 0; border-bottom: 1px solid #bbb; }
.mark, .words { width: 9em; border-left: 1px solid #bbb; }
thead { display: table-header-group; }
tr { break-inside: avoid; }
h2 { break-before: page; }
</style>
</head>
<body>
<h1>{{.Instrument}}: worksheet</h1>
<p>{{.Steps}} steps. What becomes of each: speaks, dead, wrong, faint, ciphers, open, bridged, or words. Date, name:</p>
{{range .Phases}}{{$phase := .}}<h2>{{.Name}}: {{.About}}</h2>
{{if .Caution}}<p><strong>{{.Caution}}</strong></p>
{{end}}<table>
<thead><tr><th>do</th><th>expect</th><th>pins</th><th>meter</th><th class="mark">verdict</th><th class="words">words</th></tr></thead>
<tbody>
{{range $i, $s := .Steps}}{{if $phase.From $i}}<tr><th colspan="6">{{.Group}}</th></tr>
{{end}}<tr><td>{{.Do}}</td><td>{{.Expect}}</td><td>{{range .Pins}}{{.}} {{end}}</td><td>{{.Meter}}</td><td class="mark"></td><td class="words"></td></tr>
{{end}}</tbody>
</table>
{{end}}</body>
</html>
`))
