package proof

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/equation"
	"trundle/sim/logic"
	"trundle/sim/wiring"
)

// MagnetDiffers is the rule of Magnets.
const MagnetDiffers = "magnet-differs"

// Magnets holds the magnets of ventils and tremulants to the knobs that they are
// named for: each is on exactly while its control is, in every state. They decide
// no valve, so no proof of valves speaks of them. A table need not light lamps;
// where it lights some, it must light all of them so.
//
// What was soldered otherwise than planned is a rule of its own, so a fault counts
// when it is there by the plan too.
func Magnets(r *wiring.Relay, in *console.Instrument) []finding.Finding {
	if r.Derived || len(wiring.OwnOutcome(r.Switch)) > 0 {
		return nil
	}
	m := misworked(r, in)
	if r.Wired != nil {
		planned := *r
		planned.Wired = nil
		byPlan := misworked(&planned, in)
		m = slices.DeleteFunc(m, func(one magnet) bool {
			return !slices.ContainsFunc(byPlan, func(p magnet) bool { return p.item == one.item })
		})
	}
	var found []finding.Finding
	told := map[wiring.Item]bool{}
	for _, one := range m {
		if told[one.item] {
			continue
		}
		f := one.tell(r, in)
		for next := one; next.by != console.None; { // magnets that are exchanged are one mistake
			told[next.item] = true
			k := slices.IndexFunc(m, func(other magnet) bool { return other.item.Index == next.by && other.item.Kind == next.item.Kind })
			if k < 0 || told[m[k].item] {
				break
			}
			next = m[k]
			also := next.tell(r, in)
			f.Related = append(f.Related, finding.Related{Place: also.Place, Message: also.Message})
			f.Fix = "exchange them in the table, or in the wiring if that is what was meant"
		}
		found = append(found, f)
	}
	found = append(found, heldOn(r, in, m)...)
	for i := range found {
		found[i].Rule = MagnetDiffers
	}
	return found
}

// heldOn finds rows that drive coils of knobs or shades, which the combination
// action and the shoes work and no table.
func heldOn(r *wiring.Relay, in *console.Instrument, m []magnet) []finding.Finding {
	soldered, planned := wiring.Nets(r), wiring.NetsOf(r, r.Plan)
	var found []finding.Finding
	for i, s := range r.Switch {
		if s.Kind != wiring.Drive || slices.ContainsFunc(m, func(one magnet) bool { return one.stray == i+1 }) {
			continue
		}
		for _, t := range s.Pins[:s.Len()] {
			item, is := moved(soldered, t)
			if _, too := moved(planned, t); !is || !too {
				continue
			}
			found = append(found, finding.Finding{Severity: finding.Error, Place: s.Place(wiring.SwitchPinsColumn),
				Message: fmt.Sprintf("this row drives %s, on %s, and would hold it on", wiring.Describe(in, []wiring.Item{item}), r.Name(t)),
				Fix:     "write the pin that was meant, or take the row out: knobs and shades are moved by the console, not by this table"})
			break
		}
	}
	return found
}

// moved is a coil of a knob or a shade that hangs on the net of a pin.
func moved(nets *wiring.Netlist, t wiring.Terminal) (wiring.Item, bool) {
	if net := nets.DrivenBy(t); net >= 0 {
		for _, h := range nets.Hung(net) {
			switch item := nets.Item(h); item.Kind {
			case wiring.KnobOnKind, wiring.KnobOffKind, wiring.ShadeKind:
				return item, true
			}
		}
	}
	return wiring.Item{}, false
}

// magnet is a magnet or lamp of a control and the rows that drive it.
type magnet struct {
	item   wiring.Item
	at     finding.Place   // of its row of the wiring
	pin    wiring.Terminal // of an output board
	nets   []int
	drives []wiring.Switch
	reads  []wiring.Switch // of the control's own name

	by    int           // the control that works it in place of its own, or None
	stray int           // 1 + the row that is driven by its control and leads elsewhere
	state []wiring.Item // on in the smallest state in which it is wrong
	on    bool          // in that state
}

// follows reports whether an item is one that is on while its control is.
func follows(in *console.Instrument, item wiring.Item) bool {
	switch item.Kind {
	case wiring.VentilKind, wiring.TremulantKind:
		return true
	case wiring.LampKind:
		return item.Index < len(in.Controls)
	}
	return false
}

// misworked are the magnets that differ from their control in some state, in the
// order of the wiring. Of one whose control is on no pin, or whose rows wait for a
// label that is never read, other rules speak.
func misworked(r *wiring.Relay, in *console.Instrument) []magnet {
	all := magnets(r, in)
	v := equation.NewVariables(in)
	w := logic.New(v.Count)
	own := make([]logic.Node, len(in.Controls))
	for c := range own {
		own[c] = w.Add()
		w.Or(own[c], []logic.Node{v.Control(c)}, nil)
	}
	short := *r // without what these do not depend on
	short.Switch = nil
	for _, s := range r.Switch {
		works := func(one magnet) bool {
			return slices.ContainsFunc(one.drives, func(d wiring.Switch) bool { return d.At == s.At })
		}
		if s.Kind == wiring.Read && s.Line == "" || s.Kind == wiring.Drive && slices.ContainsFunc(all, works) {
			short.Switch = append(short.Switch, s)
		}
	}
	if slices.ContainsFunc(short.Switch, func(s wiring.Switch) bool { return s.Line != "" }) {
		short.Switch = r.Switch
	}
	relay := equation.AddRelay(w, &short, v.Contacts(w, &short))
	got := make([]logic.Node, len(all))
	for k, one := range all {
		got[k] = w.Add()
		for _, net := range one.nets {
			if relay.Driven[net] != equation.Nothing {
				w.Or(got[k], []logic.Node{relay.Driven[net]}, nil)
			}
		}
	}
	net := newNetwork(w)
	c := newComparison(net, len(in.Controls))
	c.markInner(own, own)

	var wrong []magnet
	for k, one := range all {
		want := own[one.item.Index]
		unread := func(s wiring.Switch) bool {
			return slices.ContainsFunc(s.Control, func(l wiring.Literal) bool { return relay.Labels[l.Label] == 0 })
		}
		if net.class[want] == net.class[got[k]] || slices.ContainsFunc(one.drives, unread) {
			continue
		}
		a := c.decide(want, got[k], math.MaxInt)
		if a.verdict != logic.Different {
			continue
		}
		for _, n := range a.state {
			one.state = append(one.state, v.Item(n))
		}
		c.eval.Set(a.state)
		one.on = c.eval.Value(got[k])
		one.by = slices.IndexFunc(own, func(other logic.Node) bool { return net.class[other] == net.class[got[k]] })
		if len(one.drives) == 0 {
			one.by = console.None
			one.stray = 1 + slices.IndexFunc(r.Switch, func(s wiring.Switch) bool {
				return s.Kind == wiring.Drive && s.Line == "" && len(s.Control) == 1 && !s.Control[0].Not && s.Control[0].Label == in.Controls[one.item.Index].ID
			})
		}
		wrong = append(wrong, one)
	}
	return wrong
}

// magnets are those that a relay can drive and whose control has a contact.
func magnets(r *wiring.Relay, in *console.Instrument) []magnet {
	nets := wiring.Nets(r)
	var all []magnet
	at := map[wiring.Item]int{}
	hung := map[int][]int{} // by net: into all
	contact := map[int]bool{}
	for _, row := range r.Soldered() {
		for i := range min(len(row.Pins), len(row.Items)) {
			item, net := row.Items[i], nets.Of(row.Pins[i])
			if item.Kind == wiring.ControlKind {
				contact[item.Index] = true
			}
			if !follows(in, item) || net < 0 {
				continue
			}
			pin, driven := nets.Pin(net, wiring.Output)
			if !driven {
				continue
			}
			k, met := at[item]
			if !met {
				k = len(all)
				at[item] = k
				all = append(all, magnet{item: item, at: row.Place(wiring.ItemColumn), pin: pin, by: console.None})
			}
			all[k].nets = append(all[k].nets, net)
			hung[net] = append(hung[net], k)
		}
	}
	lights := false
	for _, s := range r.Switch {
		if s.Kind == wiring.Read && s.Line == "" {
			for k := range all {
				if in.Controls[all[k].item.Index].ID == s.Control[0].Label {
					all[k].reads = append(all[k].reads, s)
				}
			}
		}
		for i := 0; s.Kind == wiring.Drive && i < s.Len(); i++ {
			for _, k := range hung[nets.DrivenBy(s.Pins[i])] {
				all[k].drives = append(all[k].drives, s)
				lights = lights || all[k].item.Kind == wiring.LampKind
			}
		}
	}
	return slices.DeleteFunc(all, func(one magnet) bool {
		return !contact[one.item.Index] || one.item.Kind == wiring.LampKind && !lights
	})
}

// tell makes a finding of a magnet that is worked wrongly.
func (one magnet) tell(r *wiring.Relay, in *console.Instrument) finding.Finding {
	id := in.Controls[one.item.Index].ID
	what, pin := wiring.Describe(in, []wiring.Item{one.item}), r.Name(one.pin)
	f := finding.Finding{Severity: finding.Error, Related: []finding.Related{{Place: one.at, Message: what + " hangs on " + pin}}}
	switch {
	case one.stray > 0:
		row := r.Switch[one.stray-1]
		f.Place = row.Place(wiring.SwitchPinsColumn)
		f.Message = fmt.Sprintf("%s drives %s, and no row drives %s, on %s", id, r.Name(row.Pins[0]), what, pin)
		f.Fix = "write " + pin + " here, or correct the wiring"
	case len(one.drives) == 0:
		f.Place = finding.Place{File: r.Switch[0].At.File}
		f.Message = fmt.Sprintf("no row drives %s, on %s", what, pin)
		f.Fix = "add the row " + r.Filed(f.Place.File, "drive", "", "", id, r.Board(one.pin.On), strconv.Itoa(one.pin.Pin))
	case one.by != console.None && len(one.reads) == 1 && one.drives[0].Line == "" && slices.Equal(one.drives[0].Control, []wiring.Literal{{Label: id}}):
		row := one.reads[0]
		f.Place = row.Place(wiring.SwitchPinsColumn)
		f.Message = fmt.Sprintf("%s is read as %s, and %s is wired to it", r.Name(row.Pins[0]), id, in.Controls[one.by].ID)
		f.Fix = "write the pin of " + id + " here, or correct the wiring"
	case one.by != console.None:
		f.Place = one.drives[0].Place(wiring.ControlColumn)
		f.Message = fmt.Sprintf("%s has %s by the wiring, and follows %s", pin, what, in.Controls[one.by].ID)
		f.Fix = "write " + id + " here, or correct the wiring"
	default:
		with, is := "nothing on", "off"
		var on []string
		for _, item := range one.state {
			_, name, note := item.Words(in)
			on = append(on, strings.TrimSpace(name+" "+note))
		}
		if len(on) > 0 {
			with = strings.Join(on, " and ") + " on"
		}
		if one.on {
			is = "on"
		}
		row := one.drives[0]
		for _, other := range one.drives {
			if other.Line != "" || !slices.Equal(other.Control, []wiring.Literal{{Label: id}}) {
				row = other
				break
			}
		}
		f.Place = row.Place(wiring.ControlColumn)
		f.Message = fmt.Sprintf("with %s, %s on %s is %s", with, what, pin, is)
		f.Fix = "let its rows wait for " + id + " and nothing else"
	}
	return f
}
