package console

import "trundle/console/yamldoc"

// mostPipes bounds the valves of one rank.
const mostPipes = 256

func (l *loader) readRanks() {
	for _, entry := range l.under["ranks"] {
		f, name := l.entry(entry, "rank")
		f.Need("pipes")
		r := Rank{
			ID:       entry.Key.Text,
			Name:     name,
			Division: l.divisions.find(l.Source, f.Node("division")),
			Family:   f.Text("family"),
			Feet:     l.feet(f.Node("feet")),
			From:     l.note(f.Node("from")),
			Pipes:    f.Int("pipes", 1, mostPipes, 1),
			Cents:    f.Number("cents", -1200, 1200, 0),
			Sounds:   "pipes",
			Strikes:  f.Choice("strikes", "", "once"),
			First:    l.in.Valves,
			At:       l.Place(entry.Key),
		}
		if f.Node("sounds") != nil {
			r.Sounds = f.Text("sounds")
		}
		if f.Node("breaks") != nil {
			if f.Node("feet") != nil {
				l.Wrong(f.Node("feet"), "take it away: the rows say how high they sound", "a rank with breaks has no footage")
			}
			r.Breaks = l.breaks(f)
		} else {
			if f.OK() && f.Node("feet") == nil {
				l.Wrong(entry.Key, "add feet: 8, or breaks with rows", "rank %s lacks a footage", r.ID)
			}
			if n := f.Node("figured-from"); n != nil {
				l.Wrong(n, "", "figured-from speaks of the figures of breaks, and there are none")
			}
		}
		r.Stands = l.stands(entry.Key, f, r)
		l.in.Valves += r.Pipes
		l.in.Ranks = append(l.in.Ranks, r)
	}
}

// stands is where the valves of a rank stand, in the order of the valves:
// every one on one chest.
func (l *loader) stands(id *yamldoc.Node, f yamldoc.Fields, r Rank) []Stand {
	n := f.Node("stands")
	switch {
	case n == nil && f.Node("division") == nil:
		if f.OK() {
			l.Wrong(id, "give it a division, or say on which chest it stands", "rank %s stands nowhere", r.ID)
		}
		return nil
	case n == nil:
		if r.Division == None {
			return nil
		}
		d := l.in.Divisions[r.Division]
		if d.Chest == None {
			l.Wrong(id, "add `chest: unit` (slider, pitman) to the division, or `stands` to the rank", "rank %s stands nowhere: division %s has no chest", r.ID, d.ID)
			return nil
		}
		return []Stand{{d.Chest, 1, r.Pipes}}
	case n.Kind == yamldoc.Scalar:
		if chest := l.chests.find(l.Source, n); chest != None {
			return []Stand{{chest, 1, r.Pipes}}
		}
		return nil
	}
	chestOf := make([]int, r.Pipes+1) // by valve
	for v := range chestOf {
		chestOf[v] = None
	}
	whole := true
	for _, p := range l.Map(n) {
		chest := l.chests.find(l.Source, p.Key)
		numbers, err := ParseNumbers(l.Text(p.Value))
		if err != nil && p.Value.Kind == yamldoc.Scalar {
			l.Wrong(p.Value, "", "%v", err)
		}
		whole = whole && chest != None && err == nil
		for _, v := range numbers {
			switch {
			case v > r.Pipes:
				l.Wrong(p.Value, "", "rank %s has %d valves, not %d", r.ID, r.Pipes, v)
			case chestOf[v] != None:
				l.Wrong(p.Value, "let every valve stand on one chest", "valve %d stands on chest %s already", v, l.chests.ids[chestOf[v]])
			default:
				chestOf[v] = chest
				continue
			}
			whole = false
			break
		}
	}
	if !whole || n.Kind != yamldoc.Map {
		return nil
	}
	return l.runs(n, r, chestOf)
}

// runs joins neighbouring valves on one chest.
func (l *loader) runs(n *yamldoc.Node, r Rank, chestOf []int) []Stand {
	var stands []Stand
	for v := 1; v <= r.Pipes; v++ {
		chest := chestOf[v]
		switch last := len(stands) - 1; {
		case chest == None:
			l.Wrong(n, "let every valve stand on one chest", "valve %d of rank %s stands nowhere", v, r.ID)
			return nil
		case last >= 0 && stands[last].Chest == chest:
			stands[last].To = v
		default:
			stands = append(stands, Stand{chest, v, v})
		}
	}
	return stands
}
