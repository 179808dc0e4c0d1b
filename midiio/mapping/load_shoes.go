package mapping

import (
	"time"

	"trundle/console/yamldoc"
)

// Of a shoe that says nothing else: a position is told when it lies a quarter
// of a step of seven bits beyond the last one, and fifty times a second.
const (
	defaultHysteresis = 32
	defaultRate       = 20 * time.Millisecond
)

func (l *loader) shoe(p yamldoc.Pair) {
	s, ok := l.find(p.Key, "shoe", len(l.in.Shoes), func(i int) string { return l.in.Shoes[i].ID })
	f, it := l.value(p.Value, "a shoe's messages", position, "fine", "hysteresis", "every")
	if !ok || it == nil {
		return
	}
	e := Entry{Thing: Thing{Kind: Shoe, Index: s}, At: l.place(p.Key)}
	if it.fine = f.Bool("fine"); it.fine && it.on.number >= lowBits && it.on.number < firstNRPN || it.fine && it.on.status == sysEx {
		l.Wrong(f.Node("fine"), "take a controller below 32, or an nrpn", "only controllers 0 to 31 have fourteen bits")
		return
	}
	e.hysteresis = f.Int("hysteresis", 0, 1024, defaultHysteresis)
	e.every = l.duration(f.Node("every"), "every", defaultRate)
	e.forms = l.ways(f, bothWays, it)
	l.add(e)
}

func (l *loader) crescendo(n *yamldoc.Node) {
	if n == nil {
		return
	}
	if len(l.in.Crescendo) == 0 {
		l.Wrong(n, "take it away", "the instrument has no crescendo")
		return
	}
	for _, sequence := range l.in.Crescendo {
		if len(sequence.Stages) > fully {
			l.Wrong(n, "", "a crescendo of %d stages has no number of seven bits for each", len(sequence.Stages))
			return
		}
	}
	f, it := l.value(n, "the crescendo's messages", number)
	if it != nil {
		l.add(Entry{Thing: Thing{Kind: Stage}, At: l.place(n), forms: l.ways(f, bothWays, it)})
	}
}

// value reads the message of something that has a number: `controller 11 on
// channel 1`, or a map that has it in the field `message`.
func (l *loader) value(n *yamldoc.Node, what string, manner manner, known ...string) (yamldoc.Fields, *form) {
	f := l.Fields(&yamldoc.Node{Kind: yamldoc.Map}, what, nil)
	if n.Kind != yamldoc.Scalar {
		f = l.Fields(n, what, append([]string{"message", "way"}, known...))
		if n = f.Need("message"); n == nil {
			return f, nil
		}
	}
	p, ok := l.phrase(n)
	switch {
	case !ok:
		return f, nil
	case p.run:
		l.Wrong(n, "take `from` away", "a run of messages stands where one is meant")
		return f, nil
	case p.status&0xF0 == noteOn || !p.isOpen():
		l.Wrong(n, "write it like controller 11 on channel 1", "%s carries no number", p.shape)
		return f, nil
	}
	return f, &form{manner: manner, on: p.shape}
}

// phrase reads a phrase at a node.
func (l *loader) phrase(n *yamldoc.Node) (phrase, bool) {
	if n.Kind != yamldoc.Scalar {
		l.Text(n)
		return phrase{}, false
	}
	p, err := parsePhrase(n.Text)
	if err != nil {
		l.Wrong(n, "", "%s", err)
	}
	return p, err == nil
}
