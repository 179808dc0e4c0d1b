package mapping

import (
	"fmt"

	"trundle/console/yamldoc"
)

// formed is the forms of a line of a map, for any thing of its run.
type formed struct {
	manner  [ways]manner
	on, off [ways]*phrase // nil where nothing goes
}

// forms reads the messages of controls or buttons. A single message, `note 36
// on channel 10`, is for on and off, both ways. In a map, `message` is such a
// message; or `on` and `off` apart; or `press`, which turns a control over.
// `lamp`, or `lamp-on` and `lamp-off`, is what goes to the console instead.
func (l *loader) forms(n *yamldoc.Node, s switches) (made formed) {
	if n.Kind == yamldoc.Scalar {
		made.set(l, n, n, nil, s, ToOrgan, ToConsole)
		return made
	}
	f := l.Fields(n, "a "+s.noun+"'s messages", []string{"message", "on", "off", "press", "lamp", "lamp-on", "lamp-off", "way"})
	if !f.OK() {
		return made
	}
	given := 0
	for _, name := range []string{"message", "on", "press"} {
		if f.Node(name) != nil {
			given++
		}
	}
	if (f.Node("on") == nil) != (f.Node("off") == nil) {
		l.Wrong(n, "", "`on` and `off` go together")
		return made
	}
	if (f.Node("lamp-on") == nil) != (f.Node("lamp-off") == nil) || f.Node("lamp") != nil && f.Node("lamp-on") != nil {
		l.Wrong(n, "", "the lamp has `lamp`, or `lamp-on` and `lamp-off`")
		return made
	}
	if given != 1 {
		l.Wrong(n, "", "a line has one of `message`, `on` and `off`, and `press`")
		return made
	}
	to := map[string][]Way{toOrgan: {ToOrgan}, toConsole: {ToConsole}, bothWays: {ToOrgan, ToConsole}}
	way := to[f.Choice("way", bothWays, toOrgan, toConsole, bothWays)]
	lamp := f.Node("lamp") != nil || f.Node("lamp-on") != nil
	if lamp {
		way = []Way{ToOrgan}
	}
	switch {
	case f.Node("message") != nil:
		made.set(l, n, f.Node("message"), nil, s, way...)
	case f.Node("on") != nil:
		made.set(l, n, f.Node("on"), f.Node("off"), s, way...)
	default:
		made.press(l, f.Node("press"), s, way, lamp)
	}
	switch {
	case f.Node("lamp") != nil:
		made.set(l, n, f.Node("lamp"), nil, s, ToConsole)
	case f.Node("lamp-on") != nil:
		made.set(l, n, f.Node("lamp-on"), f.Node("lamp-off"), s, ToConsole)
	}
	return made
}

// set reads one message for on and off, or two.
func (made *formed) set(l *loader, line, on, off *yamldoc.Node, s switches, ways ...Way) {
	first, ok := l.phrase(on)
	if !ok {
		return
	}
	how := whole
	var second *phrase
	switch {
	case off != nil:
		how = apart
		p, ok := l.phrase(off)
		if !ok {
			return
		}
		second = &p
	case !first.isOpen() && s.kind == Button:
		how = strike
	case !first.isOpen():
		l.Wrong(line, "give `on` and `off`", "%s says nothing of off", first.shape)
		return
	}
	for _, way := range ways {
		made.manner[way], made.on[way], made.off[way] = how, &first, second
		if how == strike && way == ToConsole {
			made.on[way] = nil // a lamp would never go out
		}
	}
}

// press reads a message that turns a control over; a lamp then follows in the
// same message, if it can say off.
func (made *formed) press(l *loader, n *yamldoc.Node, s switches, ways []Way, lamp bool) {
	if s.kind == Button {
		l.Wrong(n, "write it as `message`", "a button turns nothing over: it is pressed and let go of")
		return
	}
	p, ok := l.phrase(n)
	if !ok {
		return
	}
	made.manner[ToOrgan], made.on[ToOrgan] = press, &p
	if len(ways) == 2 && !lamp && p.isOpen() {
		made.manner[ToConsole], made.on[ToConsole] = whole, &p
	}
}

// nth are the forms of the nth thing of a run, from 0.
func (made formed) nth(n int) (forms [ways]*form, err error) {
	for way := range ways {
		if made.on[way] == nil {
			continue
		}
		it := &form{manner: made.manner[way]}
		if it.on, err = made.on[way].nth(n); err == nil && made.off[way] != nil {
			it.off, err = made.off[way].nth(n)
		}
		if err != nil {
			return forms, fmt.Errorf("%s: %w", it.on, err)
		}
		forms[way] = it
	}
	return forms, nil
}
