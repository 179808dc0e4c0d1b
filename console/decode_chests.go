package console

import "slices"

// readChests reads the chests under `chests`, after the ranks: a chest plays,
// unless it says otherwise, the divisions of the ranks that stand on it, and
// has note lines for all their notes.
func (l *loader) readChests() {
	for _, entry := range l.under["chests"] {
		f := l.Fields(entry.Value, article("chest"), fieldsOf["chest"])
		f.Need("kind")
		c := Chest{
			ID:    entry.Key.Text,
			Kind:  chestKind(f, "kind"),
			Notes: l.span(f.Node("notes")),
			Plays: l.divisions.list(l.Source, f.Texts("plays")),
			At:    l.Place(entry.Key),
		}
		if f.Node("plays") == nil {
			c.Plays = l.in.divisionsOn(len(l.in.Chests))
		}
		if f.Node("notes") == nil {
			c.Notes = l.in.union(c.Plays)
		}
		l.in.Chests = append(l.in.Chests, c)
	}
}

// divisionsOn are the divisions of the ranks that stand on a chest.
func (in *Instrument) divisionsOn(chest int) []int {
	var divisions []int
	for _, r := range in.Ranks {
		on := slices.ContainsFunc(r.Stands, func(s Stand) bool { return s.Chest == chest })
		if on && r.Division != None && !slices.Contains(divisions, r.Division) {
			divisions = append(divisions, r.Division)
		}
	}
	slices.Sort(divisions)
	return divisions
}

// union is the span from the lowest to the highest note of some divisions,
// empty without any.
func (in *Instrument) union(divisions []int) Span {
	if len(divisions) == 0 {
		return Span{0, -1}
	}
	all := in.Divisions[divisions[0]].Notes
	for _, d := range divisions[1:] {
		notes := in.Divisions[d].Notes
		all = Span{min(all.From, notes.From), max(all.To, notes.To)}
	}
	return all
}
