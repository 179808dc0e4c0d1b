package main

import (
	"fmt"
	"strings"
	"time"

	"trundle/console"
	"trundle/midiio/mapping"
)

// coverAnswer is the JSON of `trundle watch --cover`.
type coverAnswer struct {
	Schema     string         `json:"schema"`
	Instrument string         `json:"instrument"`
	Seconds    float64        `json:"seconds"`
	Things     int            `json:"things"`
	Worked     int            `json:"worked"`
	Groups     []coverGroup   `json:"groups"`
	Shoes      []coverShoe    `json:"shoes"`
	Disorder   []coverOrder   `json:"disorder"`
	Bouncing   []coverBounce  `json:"bouncing"`
	Repeated   []coverStrokes `json:"repeated"`
	Unmapped   []string       `json:"unmapped"`
	Strange    []string       `json:"strange"`
	Faults     int            `json:"faults"`
}

// coverGroup is the keys of a keyboard, or all things of another kind.
type coverGroup struct {
	Name    string   `json:"name"`
	Things  int      `json:"things"`
	Worked  int      `json:"worked"`
	NotSeen []string `json:"not_seen"`
	OnlyOn  []string `json:"only_on"` // or of a shoe: not to both ends

	notes []console.Note // of keys that were not seen
}

type coverShoe struct {
	Name string  `json:"name"`
	From float64 `json:"from"`
	To   float64 `json:"to"`
}

type coverOrder struct {
	Name  string `json:"name"`
	After string `json:"after"`
}

type coverBounce struct {
	Name  string  `json:"name"`
	Times int     `json:"times"`
	MS    float64 `json:"ms"`
}

type coverStrokes struct {
	Name  string `json:"name"`
	Times int    `json:"times"`
}

// answer is what has been seen in some time.
func (c *coverage) answer(took time.Duration, faults int) coverAnswer {
	a := coverAnswer{
		Schema: "trundle.cover/1", Instrument: c.in.Name, Seconds: took.Seconds(), Things: len(c.things),
		Groups: []coverGroup{}, Shoes: []coverShoe{}, Disorder: []coverOrder{}, Bouncing: []coverBounce{},
		Repeated: []coverStrokes{}, Unmapped: []string{}, Strange: append([]string{}, c.strange...), Faults: faults,
	}
	for _, t := range c.things {
		w, name := c.worked[t], c.name(t)
		g := a.group(c.groupOf(t))
		g.Things++
		switch {
		case w.done():
			g.Worked++
			a.Worked++
		case w.strokes == 0:
			g.NotSeen = append(g.NotSeen, name)
			if t.Kind == mapping.Key || t.Kind == mapping.Second {
				g.notes = append(g.notes, t.Note)
			}
		default:
			g.OnlyOn = append(g.OnlyOn, name)
		}
		if t.Kind == mapping.Shoe && w.strokes > 0 {
			a.Shoes = append(a.Shoes, coverShoe{name, share(w.low), share(w.high)})
		}
		if w.bounces > 0 {
			a.Bouncing = append(a.Bouncing, coverBounce{name, w.bounces, float64(w.longest) / float64(time.Millisecond)})
		}
		if w.strokes > 1 && t.Kind != mapping.Stage {
			a.Repeated = append(a.Repeated, coverStrokes{name, w.strokes})
		}
	}
	for _, d := range c.disorder() {
		a.Disorder = append(a.Disorder, coverOrder{c.name(d.thing), c.name(d.after)})
	}
	for _, t := range c.m.Unmapped() {
		name := t.Name(c.in)
		if t.Kind == mapping.Key {
			name = c.in.Keyboards[t.Index].ID
		}
		a.Unmapped = append(a.Unmapped, name)
	}
	return a
}

func share(position int) float64 { return float64(position) / console.ShoeMost }

// name is what a thing is called; a stage carries its number.
func (c *coverage) name(t mapping.Thing) string {
	if t.Kind == mapping.Stage {
		return fmt.Sprintf("stage %d", t.Index)
	}
	return t.Name(c.in)
}

func (c *coverage) groupOf(t mapping.Thing) string {
	switch t.Kind {
	case mapping.Key:
		return c.in.Keyboards[t.Index].ID
	case mapping.Second:
		return c.in.Keyboards[t.Index].ID + ", second contacts"
	case mapping.Control:
		return "controls"
	case mapping.Button:
		return "buttons"
	case mapping.Shoe:
		return "shoes"
	}
	return "crescendo"
}

func (a *coverAnswer) group(name string) *coverGroup {
	for i := range a.Groups {
		if a.Groups[i].Name == name {
			return &a.Groups[i]
		}
	}
	a.Groups = append(a.Groups, coverGroup{Name: name, NotSeen: []string{}, OnlyOn: []string{}})
	return &a.Groups[len(a.Groups)-1]
}

// good reports whether all was worked and nothing is wrong with it.
func (a coverAnswer) good() bool {
	return a.Worked == a.Things && len(a.Disorder)+len(a.Bouncing)+len(a.Unmapped)+len(a.Strange)+a.Faults == 0
}

// text is the sheet for a person.
func (a coverAnswer) text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %d of %d worked in %.1f s\n\n", a.Instrument, a.Worked, a.Things, a.Seconds)
	for _, g := range a.Groups {
		fmt.Fprintf(&b, "%-20s %3d of %3d\n", g.Name, g.Worked, g.Things)
		half := "came on and never off"
		if g.Name == "shoes" {
			half = "not to both ends"
		}
		notSeen := g.NotSeen
		if len(g.notes) > 0 {
			notSeen = spans(g.notes)
		}
		list(&b, "not seen", notSeen)
		list(&b, half, g.OnlyOn)
	}
	section := func(title string, lines []string) {
		if len(lines) > 0 {
			fmt.Fprintf(&b, "\n%s\n", title)
			for _, line := range lines {
				fmt.Fprintf(&b, "  %s\n", line)
			}
		}
	}
	section("out of order", each(a.Disorder, func(o coverOrder) string { return o.Name + " came after " + o.After }))
	section("bouncing", each(a.Bouncing, func(o coverBounce) string {
		return fmt.Sprintf("%s, %s, at most %.1f ms", o.Name, count(o.Times, "time"), o.MS)
	}))
	section("more than once", each(a.Repeated, func(o coverStrokes) string { return fmt.Sprintf("%s, %d times", o.Name, o.Times) }))
	section("travel of shoes", each(a.Shoes, func(s coverShoe) string {
		return fmt.Sprintf("%s, from %.0f%% to %.0f%%", s.Name, 100*s.From, 100*s.To)
	}))
	if len(a.Unmapped) > 0 {
		fmt.Fprintln(&b)
		list(&b, "not in the map, so it cannot be seen", a.Unmapped)
	}
	if len(a.Strange) > 0 {
		fmt.Fprintln(&b)
		list(&b, "not in the map, but came", a.Strange)
	}
	if a.Faults > 0 {
		fmt.Fprintf(&b, "\n%s of the traffic, told above\n", count(a.Faults, "fault"))
	}
	return b.String()
}

// spans are ascending notes with their runs joined: C2, E2..G2.
func spans(notes []console.Note) (list []string) {
	for i := 0; i < len(notes); {
		end := i + 1
		for end < len(notes) && notes[end] == notes[end-1]+1 {
			end++
		}
		text := notes[i].String()
		if end > i+1 {
			text += ".." + notes[end-1].String()
		}
		list, i = append(list, text), end
	}
	return list
}

func each[T any](list []T, line func(T) string) []string {
	var lines []string
	for _, item := range list {
		lines = append(lines, line(item))
	}
	return lines
}

// list writes names on lines of 80 characters, behind a title.
func list(b *strings.Builder, title string, names []string) {
	line := "  " + title + ":"
	for i, name := range names {
		if i < len(names)-1 {
			name += ","
		}
		if len(line)+1+len(name) > 80 {
			fmt.Fprintln(b, line)
			line = "   "
		}
		line += " " + name
	}
	if len(names) > 0 {
		fmt.Fprintln(b, line)
	}
}
