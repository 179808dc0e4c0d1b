package circuit

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"sort"
	"strings"

	"trundle/console/finding"
)

// mend has the fix of the finding last added worked out when all are known. The
// ways each mend it alone; where none does, the fix says so.
func (k *checker) mend(instead string, ways ...func(at int) string) {
	at := len(k.found) - 1
	k.mends = append(k.mends, func() {
		var words []string
		for _, way := range ways {
			if way := way(at); way != "" {
				words = append(words, way)
			}
		}
		if k.found[at].Fix = strings.Join(words, ", or "); words == nil {
			k.found[at].Fix = instead
		}
	})
}

// cures reports whether a finding is gone when sizes are changed, and nothing
// else is worse. Of coils that are left too little only the worst are said: that
// the next are is nothing worse.
func (k *checker) cures(at int, change func(*Circuit)) bool {
	c := k.c.clone()
	change(c)
	s := k.s.with(c)
	was := k.found[at]
	weak := func(f finding.Finding) bool { return f.Rule == PullInLow || f.Rule == DropOver }
	left := slices.ContainsFunc(k.found, weak)
	lines := maps.Clone(k.lines)
	for i := len(k.c.Fuses); i < len(c.Fuses); i++ { // one that a board has been given carries what the board does
		lines[Part{"fuse", i}] = lines[Part{"board", slices.IndexFunc(c.Boards, func(b Board) bool { return b.Fuse == i })}]
	}
	trial := newChecker(s, s.again(lines))
	trial.rules()
	for _, f := range trial.found {
		known := slices.ContainsFunc(k.found, func(old finding.Finding) bool {
			return old.Rule == f.Rule && old.Place == f.Place && (old.Severity == f.Severity || old.Severity == finding.Error)
		})
		switch {
		case f.Severity == finding.Note:
		case f.Rule == was.Rule && f.Place == was.Place:
			return false
		case !known && !(left && weak(f)):
			return false
		}
	}
	return true
}

// least is the first of n sizes, in ascending order, that cures a finding, None
// without.
func (k *checker) least(at, n int, set func(c *Circuit, size int)) int {
	size := sort.Search(n, func(i int) bool { return k.cures(at, func(c *Circuit) { set(c, i) }) })
	if size == n {
		return None
	}
	return size
}

// thicker is the way to take thicker wires for some parts of one kind: the
// thinnest that cure.
func (k *checker) thicker(parts ...Part) func(at int) string {
	return func(at int) string {
		parts := slices.DeleteFunc(slices.Clone(parts), func(p Part) bool { return !k.c.wire(p).Gauge.Known() })
		if len(parts) == 0 {
			return ""
		}
		now := k.c.wire(parts[0]).Gauge
		for _, p := range parts {
			if g := k.c.wire(p).Gauge; g.Area < now.Area {
				now = g
			}
		}
		list := slices.DeleteFunc(gauges(k.sizesOf(now), parts[0].Kind == "cable"), func(g Gauge) bool { return g.Area <= now.Area })
		size := k.least(at, len(list), func(c *Circuit, size int) {
			for _, p := range parts {
				if w := c.wire(p); w.Gauge.Area < list[size].Area {
					w.Gauge = list[size].Made(w.Gauge.Strands, w.Gauge.Coated)
				}
			}
		})
		if size == None {
			return ""
		}
		return fmt.Sprintf("take %v or thicker for %s", list[size], k.parts(parts))
	}
}

// sizesOf is the code whose sizes of wires are like one.
func (k *checker) sizesOf(g Gauge) string {
	if g.AWG == noAWG {
		return "iec"
	}
	return "us"
}

// parts names wires: the feed of X1, CX1, the return common.
func (k *checker) parts(parts []Part) string {
	var names []string
	for _, p := range parts {
		switch p.Kind {
		case "feed":
			names = append(names, "the feed of "+k.relay.Boards[p.Index].ID)
		case "cable":
			names = append(names, k.relay.Cables[p.Index].ID)
		default:
			names = append(names, "the return "+k.c.Returns[p.Index].ID)
		}
	}
	return strings.Join(names, ", ")
}

// anyThicker is the way to take a thicker wire for that one on the way of a
// coil which loses the most of those that mend it alone.
func (k *checker) anyThicker(f Floor) func(at int) string {
	return func(at int) string {
		lost := func(s stage) float64 { return s.amps * k.c.wire(s.Part).Ohms(k.c.Settings.WiresAt) }
		stages := slices.Clone(f.stages[1:])
		slices.SortStableFunc(stages, func(a, b stage) int { return int(math.Copysign(1, lost(b)-lost(a))) })
		for _, s := range stages {
			if lost(s) < 0.01 {
				break
			}
			if words := k.thicker(s.Part)(at); words != "" {
				return words
			}
		}
		return ""
	}
}

// sized is the way to take all sizes that the program chooses.
func (k *checker) sized(at int) string {
	f := k.found[at]
	sizes := k.s.sizes(k.rep)
	trial := newChecker(k.s.with(sizes.Circuit), sizes.Report)
	trial.rules()
	if slices.ContainsFunc(trial.found, func(l finding.Finding) bool { return l.Rule == f.Rule }) {
		return ""
	}
	return "no wire mends it alone: take the sizes that trundle current --size lists"
}

// larger is the way to take larger supplies, fuses and boards: all of some lines.
func (k *checker) larger(lines []Line) func(at int) string {
	return func(at int) string {
		sizes := make([]float64, len(lines))
		var words []string
		for i, line := range lines {
			size, found := k.enough(line)
			if !found {
				return ""
			}
			sizes[i] = size
			words = append(words, fmt.Sprintf("%s %s of %g A", line.Kind, line.ID, size))
		}
		cures := k.cures(at, func(c *Circuit) {
			for i, line := range lines {
				switch line.Kind {
				case "supply":
					c.Supplies[line.index].Amps = sizes[i]
				case "fuse":
					c.Fuses[line.index].Amps = sizes[i]
				case "board":
					c.Boards[line.index].Amps = sizes[i]
				}
			}
		})
		if !cures {
			return ""
		}
		return "take a larger " + strings.Join(words, ", ")
	}
}

// enough is the least size that carries all of a line: a fuse has a standard
// rating, a supply whole amps, a board tenths.
func (k *checker) enough(line Line) (size float64, found bool) {
	switch line.Kind {
	case "fuse":
		return k.rating(line.Peak())
	case "supply":
		return math.Ceil(line.Peak()), true
	}
	return math.Ceil(10*line.Peak()-slack) / 10, true
}

// rating is the least standard rating of a fuse that carries so many amps.
func (k *checker) rating(amps float64) (size float64, found bool) {
	ratings := fuseRatings(k.c.Settings.Code)
	at := leastRating(ratings, amps)
	if at < 0 {
		return 0, false
	}
	return ratings[at], true
}

// ownFuses is the way to give each board behind a fuse one of its own.
func (k *checker) ownFuses(fuses ...int) func(at int) string {
	return func(at int) string {
		var boards []int
		most := 0.0
		for b, board := range k.c.Boards {
			if line, used := k.lines[Part{"board", b}]; slices.Contains(fuses, board.Fuse) {
				boards = append(boards, b)
				if used {
					most = max(most, line.Peak())
				}
			}
		}
		size, found := k.rating(most)
		if !found || len(boards) <= len(fuses) {
			return ""
		}
		cures := k.cures(at, func(c *Circuit) {
			for _, b := range boards {
				c.Boards[b].Fuse = len(c.Fuses)
				c.Fuses = append(c.Fuses, Fuse{ID: k.relay.Boards[b].ID, Amps: size, At: c.Boards[b].At})
			}
		})
		if !cures {
			return ""
		}
		ids := make([]string, len(boards))
		for i, b := range boards {
			ids[i] = k.relay.Boards[b].ID
		}
		return fmt.Sprintf("give each of %s a fuse of its own, fuse: %g", strings.Join(ids, ", "), size)
	}
}

// moreOhms is the way to take magnets of more ohms, where all loads of a line
// are of one class: times so many.
func (k *checker) moreOhms(loads []int, times float64) func(at int) string {
	return func(int) string {
		class := k.c.Loads[loads[0]].Magnet
		if slices.ContainsFunc(loads, func(i int) bool { return k.c.Loads[i].Magnet != class }) || math.IsInf(times, 0) {
			return ""
		}
		m := k.c.Magnets[class]
		ohms := math.Ceil(m.Ohms * times * (1 + slack))
		return fmt.Sprintf("take coils of %.0f ohms or more for %s (ohms: %.0f)", ohms, m.ID, ohms)
	}
}

// grouped is the way to move knobs and sliders in groups, none of which begins
// before the one before it ends: the largest that cure.
func (k *checker) grouped(at int) string {
	gap, things := 0.0, map[any]bool{}
	for _, l := range k.c.Loads {
		if k.c.moves(l) {
			gap = max(gap, math.Ceil(k.c.pulse(l)))
			things[moved(l)] = true
		}
	}
	n := len(things)
	size := k.least(at, n, func(c *Circuit, size int) { c.Settings.Group, c.Settings.Gap = n-size, gap })
	if size == None {
		return ""
	}
	return fmt.Sprintf("move no more than %s, and the next when they are through: electrical: {group: %d, gap: %g ms}", atOnce(n-size), n-size, gap)
}

func atOnce(n int) string {
	if n == 1 {
		return "one knob at once"
	}
	return fmt.Sprintf("%d knobs at once", n)
}

// moreWires is the way to lay several wires for a return.
func (k *checker) moreWires(back int) func(at int) string {
	return func(at int) string {
		const most = 8
		now := k.c.Returns[back].Count
		more := k.least(at, most-now, func(c *Circuit, size int) { c.Returns[back].Count = now + 1 + size })
		if more == None {
			return ""
		}
		return fmt.Sprintf("lay %d such wires side by side (wires: %d)", now+1+more, now+1+more)
	}
}

// smaller is the way to take smaller fuses: of the largest rating within a limit.
func (k *checker) smaller(limit float64, fuses ...int) func(at int) string {
	return func(at int) string {
		size := 0.0
		for _, rating := range fuseRatings(k.c.Settings.Code) {
			if rating <= limit {
				size = rating
			}
		}
		cures := size > 0 && k.cures(at, func(c *Circuit) {
			for _, f := range fuses {
				c.Fuses[f].Amps = min(size, c.Fuses[f].Amps)
			}
		})
		if !cures {
			return ""
		}
		names := make([]string, len(fuses))
		for i, f := range fuses {
			names[i] = k.c.Fuses[f].ID
		}
		return fmt.Sprintf("fuse %s at %g A", strings.Join(names, ", "), size)
	}
}
