package cause

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console/finding"
	"trundle/sim/wiring"
)

// gapsAt is the row that makes the gaps, or the row that reads the control of
// what no row does.
func (m *model) gapsAt(gaps []gap) finding.Place {
	for _, g := range gaps {
		if o, ok := m.culprit(g); ok && g.got != nil {
			return m.r.Switch[o.Row].At
		}
	}
	labels := m.labelNames()
	for _, g := range gaps {
		controls, _, _ := m.kindsOf(g.want)
		for _, p := range controls {
			for _, s := range m.r.Switch {
				if s.Kind == wiring.Read && s.Line == "" && s.Control[0].Label == labels[p.class] && !p.not {
					return s.At
				}
			}
		}
	}
	return m.r.At.Switching
}

func (m *model) gapPins(gaps []gap) []wiring.Terminal {
	var pins []wiring.Terminal
	for _, g := range gaps {
		if g.site == nil {
			continue
		}
		if t, ok := m.terminal(g.site.net); ok && !slices.Contains(pins, t) {
			pins = append(pins, t)
		}
	}
	slices.SortFunc(pins, compareTerminals)
	return pins
}

// gapPhrases say what each mistake is in the relay's own table.
var gapPhrases = map[string]string{
	"wrong-control":      "answers to the wrong control",
	"wrong-shift":        "leads to the wrong notes",
	"wrong-keyboard":     "reads the wrong line",
	"wrong-division":     "leads to the wrong line",
	"wrong-direction":    "leads the wrong way round",
	"wrong-carries":      "is not carried on as its coupler says",
	"wrong-picks":        "picks wrongly",
	"unison-off-missing": "is not cut by a unison off that should cut it",
	"unison-off-extra":   "is cut by a unison off that should leave it",
	"literal-missing":    "does not ask a control that it should ask",
	"literal-extra":      "asks a control that it should not ask",
	"literal-inverted":   "asks the opposite of a control",
	"row-extra":          "should not be there",
	"octave-off":         "takes its notes an octave off",
	"run-shifted":        "takes its notes from the wrong end of its run",
	"pins-swapped":       "has two notes exchanged",
	"pin-open":           "is missing for one note",
	"group-open":         "is missing for some notes that lie together",
	"row-missing":        "is missing",
}

func (m *model) gapsMessage(s suspect) string {
	what := "a row"
	for _, g := range s.gaps {
		if o, ok := m.culprit(g); ok && g.got != nil {
			what = "the row " + m.paper().switchText(m.r.Switch[o.Row])
			break
		}
	}
	phrase := gapPhrases[s.rule]
	if phrase == "" {
		phrase = "has its notes out of order"
	}
	return fmt.Sprintf("%s: %s %s", m.placeWords(s.gaps), what, phrase)
}

// placeWords name what is wrong: outputs, or a line with what reaches it.
func (m *model) placeWords(gaps []gap) string {
	var items []wiring.Item
	var lines []string
	for _, g := range gaps {
		if g.site != nil && !slices.Contains(items, g.site.item) {
			items = append(items, g.site.item)
		}
		if g.site == nil && !slices.Contains(lines, g.line.line) {
			lines = append(lines, g.line.line)
		}
	}
	words := lines
	for i, l := range lines {
		words[i] = "line " + l
	}
	if len(items) > 0 {
		words = append(words, m.words(items))
	}
	var under []string
	for _, g := range gaps[:1] {
		controls, _, _ := m.kindsOf(g.want)
		for _, p := range controls {
			if !p.not {
				under = append(under, m.in.Controls[m.names[p.class].family].ID)
			}
		}
	}
	text := strings.Join(words, ", ")
	if len(under) > 0 {
		text += " by " + strings.Join(under, " and ")
	}
	return text
}
