package contact

import (
	"slices"

	"trundle/console"
	"trundle/console/finding"
	"trundle/console/yamldoc"
	"trundle/sim/wiring"
)

// Return is a common wire that magnets share on their way home to the supply.
type Return struct {
	ID     string
	Wires  int // conductors in parallel; 0 when it is open
	Switch int // the control whose contact closes it, console.None when it is always closed
	of     Scope
	at     finding.Place
}

// Feed is what stands before each magnet of a class.
type Feed struct {
	Ohms   float64 // of one magnet
	Diodes bool    // one in series with each, so that current passes one way only
	of     Scope
}

// Commons is what the relay file says of the wires that magnets share on their
// way home, and of what stands before each magnet.
type Commons struct {
	returns []Return
	feeds   []Feed
}

// Returns reads the sections `returns` and `magnets` of a relay file as far as
// the paths of current need them. A magnet of no return goes straight home.
//
//	returns:
//	  chamber: {of: [great, bourdon], wires: 2}       # two wires home; open when 0, one when not given
//	  celeste: {of: [choir-celeste], switch: choir-celeste-8}   # the stop is switched in the common
//	magnets:
//	  small: {of: [choir-celeste, choir-flute], ohms: 150, series-diodes: true}
//
// What `of` and `kinds` say is a Scope; of several the first that has a magnet is
// its own. Other fields are left to other readers.
func Returns(r *wiring.Relay, in *console.Instrument) (*Commons, []finding.Finding) {
	source := &yamldoc.Source{File: r.File}
	e := &Commons{}
	for _, p := range source.ByID(r.Sections["returns"], yamldoc.CapitalID) {
		f := source.Fields(p.Value, "a return", fieldsOf(p.Value))
		back := Return{ID: p.Key.Text, Wires: f.Int("wires", 0, 999, 1), Switch: console.None, of: ReadScope(source, f, in), at: source.Place(p.Key)}
		if n := f.Node("switch"); n != nil {
			ids := make([]string, len(in.Controls))
			for i, c := range in.Controls {
				ids[i] = c.ID
			}
			if back.Switch = slices.Index(ids, n.Text); back.Switch < 0 {
				source.Unknown(n, "control", n.Text, ids)
			}
		}
		for _, other := range e.returns {
			if back.of.overlaps(other.of) {
				source.Wrong(p.Value, "let each go home by one return", "%s and %s both are the return of the same magnets", other.ID, back.ID)
			}
		}
		e.returns = append(e.returns, back)
	}
	for _, p := range source.ByID(r.Sections["magnets"], yamldoc.CapitalID) {
		f := source.Fields(p.Value, "magnets", fieldsOf(p.Value))
		e.feeds = append(e.feeds, Feed{Ohms: f.Number("ohms", 0.1, 1e6, 0), Diodes: f.Bool("series-diodes"), of: ReadScope(source, f, in)})
	}
	if len(source.Findings) > 0 {
		return &Commons{}, source.Findings
	}
	return e, nil
}

// fieldsOf are the fields that a map has, so that none of them is refused.
func fieldsOf(n *yamldoc.Node) []string {
	names := []string{"of", "kinds", "wires", "switch", "ohms", "series-diodes"}
	for _, p := range n.Pairs {
		names = append(names, p.Key.Text)
	}
	return names
}

// home is what a magnet goes home by, by index; console.None when straight.
func (e *Commons) home(item wiring.Item) int {
	return slices.IndexFunc(e.returns, func(r Return) bool { return r.of.Has(item) })
}

// feed is what stands before a magnet.
func (e *Commons) feed(item wiring.Item) Feed {
	for _, f := range e.feeds {
		if f.of.Has(item) {
			return f
		}
	}
	return Feed{}
}
