package cause

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"trundle/console/finding"
	"trundle/sim/wiring"
)

// told is a suspect with what is to be said of it.
func (m *model) told(s suspect) suspect {
	if len(s.moved) > 0 {
		s.at = m.movedAt(s)
		s.pins = m.movedPins(s.moved)
		s.message = m.movedMessage(s, s.pins)
	} else {
		s.at = m.gapsAt(s.gaps)
		s.pins = m.gapPins(s.gaps)
		s.message = m.gapsMessage(s)
	}
	return s
}

// cause is what is said of what is guilty.
func (p paper) cause(g guilty) Cause {
	c := Cause{Rule: g.rule, Message: g.message, At: g.at, Pins: g.pins, Valves: g.valves, Certain: true}
	c.Cure = p.edits(g.cure)
	c.Fix = fix(c)
	return c
}

// fix says what to write, or to add where no row is to be replaced.
func fix(c Cause) string {
	var fresh []string
	verb, to := "add the row", ""
	for _, e := range c.Cure {
		fresh = append(fresh, e.New...)
		if e.Old != "" {
			verb = "write"
		}
		if len(e.New) > 0 && e.At.File != "" {
			to = " to " + filepath.Base(e.At.File)
		}
	}
	if verb == "write" {
		to = ""
	}
	switch len(fresh) {
	case 0:
		return "take the row out"
	case 1:
		return verb + " " + fresh[0] + to
	case 2:
		return verb + " " + fresh[0] + " and " + fresh[1] + to
	}
	return fmt.Sprintf("%s %s and %d more%s; --format json lists them", verb, fresh[0], len(fresh)-1, to)
}

// movedAt is the row in which something is moved: the first that has it.
func (m *model) movedAt(s suspect) finding.Place {
	if s.layer == inSwitching {
		for _, e := range s.moved {
			if e.input && e.row < len(m.r.Switch) {
				return m.r.Switch[e.row].At
			}
		}
		for _, row := range m.r.Switch {
			if row.Kind == wiring.Drive && slices.ContainsFunc(row.Pins, func(t wiring.Terminal) bool { return m.among(s.moved, m.rel.Nets.Of(t)) }) {
				return row.At
			}
		}
		return m.r.At.Switching
	}
	if s.layer == inJoins {
		for _, j := range m.r.Joins {
			if slices.ContainsFunc(j.From, func(t wiring.Terminal) bool { return m.among(s.moved, m.rel.Nets.Of(t)) }) {
				return j.At
			}
		}
	}
	for i, row := range m.r.Soldered() {
		for at := range row.Pins {
			if s.cure.unhang[element{i, at}] {
				return row.At
			}
		}
	}
	for _, row := range m.r.Soldered() { // an open wire has no row: the row of its neighbours
		if slices.ContainsFunc(row.Items, func(item wiring.Item) bool {
			return m.lane(item, s.moved[0].net) == m.lane(s.moved[0].some(), s.moved[0].net)
		}) {
			return row.At
		}
	}
	if m.r.Wired != nil {
		return m.r.At.Wired
	}
	return m.r.At.Wiring
}

func (m *model) among(entries []moved, net int) bool {
	return slices.ContainsFunc(entries, func(e moved) bool { return e.net == net })
}

// movedPins are the pins to look at: those on which something is amiss, and of
// a pin that has too much, that on which it should be alone.
func (m *model) movedPins(entries []moved) []wiring.Terminal {
	var pins []wiring.Terminal
	add := func(net int) {
		if t, ok := m.terminal(net); ok && !slices.Contains(pins, t) {
			pins = append(pins, t)
		}
	}
	for _, e := range entries {
		add(e.net)
		if e.net < 0 { // it is read from no pin: those on which it hangs
			for net := range m.rel.Nets.Len() {
				if m.hangsOn(net, e.means) {
					add(net)
				}
			}
		}
		if e.extra {
			add(m.nearest(e.net, e.have))
		}
	}
	slices.SortFunc(pins, compareTerminals)
	return pins
}

// nearest is the net on which a thing hangs that is nearest to another one, -1
// where it hangs nowhere else.
func (m *model) nearest(net int, item wiring.Item) int {
	best, far := -1, 0
	from := m.hangPin(net)
	for other := range m.rel.Nets.Len() {
		if other == net || !m.hangsOn(other, item) {
			continue
		}
		to := m.hangPin(other)
		away := max(to.Pin-from.Pin, from.Pin-to.Pin)
		if to.On != from.On {
			away += 1000
		}
		if best < 0 || away < far {
			best, far = other, away
		}
	}
	return best
}

// movedPhrases say what each mistake has done to what hangs on pins.
var movedPhrases = map[string]string{
	"pins-swapped":      "are exchanged",
	"octave-off":        "are an octave off",
	"wires-off":         "begin in the wrong place of their cable: all are as many wires off",
	"order-reversed":    "run in the opposite order: the connector is turned round",
	"pair-exchanged":    "have both wires of every pair exchanged",
	"sides-mixed":       "mix up C side and C-sharp side with the row of the keys",
	"pins-mixed":        "have taken each other's place",
	"plugs-swapped":     "are in each other's place: plugs are exchanged",
	"boards-swapped":    "are on each other's board",
	"keyboards-swapped": "are exchanged, keyboard for keyboard",
	"ranks-swapped":     "are exchanged, rank for rank",
	"group-open":        "are open together: a plug or a feed is missing",
	"row-missing":       "are all open: their row is missing",
}

func (m *model) movedMessage(s suspect, pins []wiring.Terminal) string {
	e := s.moved[0]
	switch s.rule {
	case "pin-open":
		if e.net < 0 || s.layer == inSwitching {
			return fmt.Sprintf("%s is not read from any pin", m.word(e.some()))
		}
		if e.have == nothing {
			return fmt.Sprintf("%s is open: %s does not hang there", m.pinWords(pins), m.word(e.means))
		}
		return fmt.Sprintf("%s, where %s hangs, is connected to nothing", m.pinWords(pins), m.word(e.have))
	case "pins-bridged":
		if len(s.moved) == 2 {
			return fmt.Sprintf("%s are bridged: %s and %s act together%s", m.pinWords(pins), m.word(e.have), m.word(e.means), m.leg(s, pins))
		}
		pin, _ := m.terminal(e.net)
		return fmt.Sprintf("%s has %s too, beside %s", m.pinWords([]wiring.Terminal{pin}), m.word(e.have), m.word(e.means))
	case "pins-swapped":
		return fmt.Sprintf("%s: %s and %s are exchanged%s", m.pinWords(pins), m.word(e.have), m.word(e.means), m.leg(s, pins))
	}
	var things []wiring.Item
	for _, e := range s.moved {
		if item := e.some(); !slices.Contains(things, item) {
			things = append(things, item)
		}
	}
	phrase := movedPhrases[s.rule]
	if len(things) == 1 {
		return fmt.Sprintf("%s: %s is not where it belongs%s", m.pinWords(pins), m.word(things[0]), m.leg(s, pins))
	}
	if s.rule == "run-shifted" {
		phrase = m.shiftWords(s.moved)
	}
	return fmt.Sprintf("%s: %s %s%s", m.pinWords(pins), m.words(things), phrase, m.leg(s, pins))
}

// shiftWords say by how many pins a run sits too high or too low.
func (m *model) shiftWords(entries []moved) string {
	for _, e := range entries {
		for _, f := range entries {
			is, known := m.terminal(e.net)
			belongs, also := m.terminal(f.net)
			if !known || !also || e.have == nothing || e.have != f.means || is.On != belongs.On {
				continue
			}
			switch k := is.Pin - belongs.Pin; {
			case k == 1:
				return "sit one pin too high"
			case k == -1:
				return "sit one pin too low"
			case k > 0:
				return fmt.Sprintf("sit %d pins too high", k)
			default:
				return fmt.Sprintf("sit %d pins too low", -k)
			}
		}
	}
	return "are shifted along their pins"
}

// leg says between what the wires run that are wrong.
func (m *model) leg(s suspect, pins []wiring.Terminal) string {
	if len(pins) == 0 {
		return ""
	}
	on := func(t wiring.Terminal) string { return strings.SplitN(m.r.Name(t), ".", 2)[0] }
	switch s.layer {
	case inJoins:
		for _, j := range m.r.Joins {
			if len(j.From) > 0 && slices.ContainsFunc(j.From, func(t wiring.Terminal) bool { return m.among(s.moved, m.rel.Nets.Of(t)) }) {
				return fmt.Sprintf(", between %s and %s", on(j.From[0]), on(j.To[0]))
			}
		}
	case inWiring:
		for i, row := range m.r.Soldered() {
			for at, t := range row.Pins {
				if s.cure.unhang[element{i, at}] {
					end := "the chest"
					if s.moved[0].input {
						end = "the console"
					}
					cable := ""
					if row.Cable != "" {
						cable = ", cable " + row.Cable
					}
					return fmt.Sprintf(", between %s and %s%s", on(t), end, cable)
				}
			}
		}
	case inSwitching:
		return ", in the switching table"
	}
	return ""
}

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
		controls, _, _ := m.sort(g.want)
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
		controls, _, _ := m.sort(g.want)
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

func (m *model) pinWords(pins []wiring.Terminal) string {
	var words []string
	for len(pins) > 0 {
		n := 1
		for n < len(pins) && pins[n].On == pins[0].On {
			n++
		}
		var numbers []int
		for _, t := range pins[:n] {
			numbers = append(numbers, t.Pin)
		}
		on := strings.SplitN(m.r.Name(pins[0]), ".", 2)[0]
		words = append(words, on+"."+strings.ReplaceAll(wiring.FormatNumbers(numbers), " ", ","))
		pins = pins[n:]
	}
	return strings.Join(words, " and ")
}

// word names one thing that hangs on a pin: bourdon:26, great:C4, a control's id.
func (m *model) word(item wiring.Item) string {
	if item == nothing {
		return "nothing"
	}
	kind, name, at := item.Words(m.in)
	switch {
	case at != "":
		return name + ":" + at
	case kind == wiring.ActionKind || kind == wiring.ActionOnKind || kind == wiring.ActionOffKind:
		return "the action of " + name
	}
	return name
}

// words name things: one by one where they are few, otherwise by what they
// have in common.
func (m *model) words(items []wiring.Item) string {
	const few = 3
	if len(items) <= few {
		var list []string
		for _, item := range items {
			list = append(list, m.word(item))
		}
		return strings.Join(list, ", ")
	}
	var names []string
	for _, item := range items {
		_, name, _ := item.Words(m.in)
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	if len(names) > few {
		names = append(names[:few], fmt.Sprintf("%d more", len(names)-few))
	}
	return fmt.Sprintf("%d of %s", len(items), strings.Join(names, ", "))
}
