package mapping

import (
	"slices"
	"strings"

	"trundle/console"
	"trundle/console/yamldoc"
)

// allRanks names the valves of all ranks, one rank behind the other.
const allRanks = "all"

// valves reads the valves of ranks. What a rank has of its own counts, and not
// what it has with all.
func (l *loader) valves(pairs []yamldoc.Pair) {
	for _, p := range pairs {
		if l.isAll(p) {
			l.numbered(p, 0, l.in.Valves)
		}
	}
	for _, p := range pairs {
		if l.isAll(p) {
			continue
		}
		if r, ok := l.find(p.Key, "rank", len(l.in.Ranks), func(i int) string { return l.in.Ranks[i].ID }); ok {
			l.numbered(p, l.in.Ranks[r].First, l.in.Ranks[r].Pipes)
		}
	}
}

func (l *loader) isAll(p yamldoc.Pair) bool {
	return p.Key.Text == allRanks && !hasRank(l.in, allRanks)
}

func hasRank(in *console.Instrument, id string) bool {
	return slices.ContainsFunc(in.Ranks, func(r console.Rank) bool { return r.ID == id })
}

// numbered gives so many valves, from one on, messages whose numbers rise.
func (l *loader) numbered(p yamldoc.Pair, first, n int) {
	on, f, usual, ok := l.firstValve(p.Value)
	if !ok {
		return
	}
	low, count := on.numbers()
	if last := on.channel() + (on.number-low+n-1)/count; last > 16 {
		fix := "begin on a lower one"
		if n > 16*count {
			fix = "take nrpns, of which a channel has 16384"
		}
		l.Wrong(p.Value, fix, "%d valves from channel %d on need channel %d", n, on.channel(), last)
		return
	}
	forms := l.ways(f, usual, &form{manner: whole})
	if usual == toConsole && forms[ToOrgan] != nil {
		l.Wrong(p.Value, "write way: to-console, or give it notes: channel 6", "what opens a valve must be a note, which is let go of however the console ends; a parameter only reports one")
		return
	}
	for v := range n {
		it := &form{manner: whole, on: on.behind(v)}
		e := Entry{Thing: Thing{Kind: Valve, Index: first + v}, At: l.place(p.Key)}
		for way := range forms {
			if forms[way] != nil {
				e.forms[way] = it
			}
		}
		l.add(e)
	}
}

// firstValve reads `channel 6`, the notes of a channel, or the first of
// non-registered parameters, `nrpns from 0 on channel 6`; where such usually go;
// and the map that it stands in, if any.
func (l *loader) firstValve(n *yamldoc.Node) (on shape, f yamldoc.Fields, usual string, ok bool) {
	message := n
	if n.Kind == yamldoc.Map {
		message = n.Get("message")
	}
	if message == nil || message == n && !strings.Contains(n.Text, " on ") {
		f, channel := l.channel(n, "a rank's valves", "first")
		if channel == 0 {
			return on, f, "", false
		}
		return noteShape(channel, f.Int("first", 0, fully, 0)), f, toOrgan, true
	}
	f = l.Fields(&yamldoc.Node{Kind: yamldoc.Map}, "", nil)
	if message != n {
		f = l.Fields(n, "a rank's valves", []string{"message", "way"})
	}
	p, ok := l.phrase(message)
	if ok && (!p.run || p.step != 1 || p.number < firstNRPN || p.count != nil) {
		l.Wrong(message, "write it like channel 6, or nrpns from 0 on channel 6", "valves are notes, or non-registered parameters that rise by one")
		ok = false
	}
	return p.shape, f, toConsole, ok
}

// numbers are the lowest number of a kind of message on a channel, and how many
// there are.
func (s shape) numbers() (lowest, count int) {
	if s.number >= firstNRPN {
		return firstNRPN, mostNRPN + 1
	}
	return 0, fully + 1
}

// behind is the nth message behind one. The last of a channel is followed by
// the first of the next, which there must be.
func (s shape) behind(n int) shape {
	lowest, count := s.numbers()
	at := s.number - lowest + n
	s.status += byte(at / count)
	s.number = lowest + at%count
	return s
}
