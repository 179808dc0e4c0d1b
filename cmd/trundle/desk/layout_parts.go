package desk

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console"
)

// stopsOf lists what belongs to a division alone: its stops and tremulants.
func (l layouter) stopsOf(d int) []entry {
	var list []entry
	for _, s := range l.in.Stops {
		if s.Division == d {
			list = append(list, entry{Item{ControlItem, s.Control, 0}, withFeet(l.signs, s.Name, l.signs.feet(s.Feet))})
		}
	}
	for i, t := range l.in.Tremulants {
		if len(t.Divisions) == 0 || t.Divisions[0] != d {
			continue
		}
		list = append(list, entry{Item{ControlItem, t.Control, 0}, l.signs.text(t.Name)})
		if len(t.Speeds) > 1 {
			list = append(list, entry{Item{SpeedItem, i, 0}, "its speed 0/0"})
		}
	}
	return list
}

// withFeet is a name with a footage behind it, unless it ends with that.
func withFeet(signs *Signs, name, feet string) string {
	name = signs.text(name)
	if feet == "" || strings.HasSuffix(strings.TrimRight(name, "'"), feet) {
		return name
	}
	return name + " " + feet
}

// playedFrom lists what changes where the keys of a keyboard lead: couplers
// played from it, its divisions' own, unison offs, divides and sostenutos.
func (l layouter) playedFrom(k int) []entry {
	var list []entry
	home := func(d int) int { return l.in.Divisions[d].Keyboard }
	for _, c := range l.in.Couplers {
		from := c.Keyboard
		if from == console.None {
			from = home(c.Division)
		}
		if from == k {
			list = append(list, entry{Item{ControlItem, c.Control, 0}, withFeet(l.signs, c.Name, couplerPitch(l.signs, c))})
		}
	}
	add := func(control int, on bool) {
		if on {
			list = append(list, entry{Item{ControlItem, control, 0}, l.signs.text(l.in.Controls[control].Name)})
		}
	}
	for _, u := range l.in.UnisonOffs {
		add(u.Control, home(u.Division) == k)
	}
	for _, d := range l.in.Divides {
		add(d.Control, d.Keyboard == k)
	}
	for _, s := range l.in.Sostenutos {
		add(s.Control, len(s.Keyboards) > 0 && s.Keyboards[0] == k)
	}
	return list
}

// couplerPitch is a coupler's shift as the footage it makes of 8 foot, where
// there is one, and in semitones otherwise.
func couplerPitch(signs *Signs, c console.Coupler) string {
	feet := map[int]console.Feet{-24: {Num: 32, Den: 1}, -12: {Num: 16, Den: 1}, -5: {Num: 32, Den: 3}, 0: {Num: 8, Den: 1}, 7: {Num: 16, Den: 3},
		12: {Num: 4, Den: 1}, 19: {Num: 8, Den: 3}, 24: {Num: 2, Den: 1}}
	if f, ok := feet[c.Shift]; ok {
		return signs.feet(f)
	}
	return fmt.Sprintf("%+d", c.Shift)
}

// natural is how many naturals lie from C-1 up to a note, itself not counted.
func natural(n console.Note) int {
	return int(n)/12*7 + [12]int{0, 1, 1, 2, 2, 3, 4, 4, 5, 5, 6, 6}[n%12]
}

// isSharp reports a key of the upper row.
func isSharp(n console.Note) bool {
	return slices.Contains([]console.Note{1, 3, 6, 8, 10}, n%12)
}

// column is where a key stands beside the lowest of its keyboard: naturals
// stand two columns apart, and sharps between them.
func column(lowest, n console.Note) int {
	if isSharp(n) {
		return 2*(natural(n)-natural(lowest)) - 1
	}
	return 2 * (natural(n) - natural(lowest))
}

// keys lays out the keys of a keyboard.
func (l layouter) keys(k int) {
	l.begin()
	keys := l.in.Keyboards[k].Keys
	board := Board{Keyboard: k, X: l.Margin, Y: l.H, W: max(column(keys.From, keys.To)+1, 0)}
	if isSharp(keys.From) {
		board.X++ // its sharp hangs over to the left
	}
	for n := keys.From; n <= keys.To; n++ {
		y := l.H + 1
		if isSharp(n) {
			y--
		}
		l.add(keyItem(console.Key{Keyboard: k, Note: n}), board.X+column(keys.From, n), y, 1, "")
	}
	l.label(l.H+1, "keys", Dim)
	l.Boards = append(l.Boards, board)
	l.H += 3
}

// buttons lays out the thumb pistons under a keyboard.
func (l layouter) buttons(k int) {
	lowest := slices.IndexFunc(l.in.Keyboards, func(of console.Keyboard) bool { return of.Kind == console.Manual })
	l.flow("press", func(b console.Button) bool {
		at := b.Keyboard
		if at == console.None && b.Division != console.None {
			at = l.in.Divisions[b.Division].Keyboard
		}
		if at == console.None {
			at = max(lowest, 0)
		}
		return !b.Toe && at == k
	})
}

// flow lays out the buttons that belong to a row, as many to a line as fit.
func (l layouter) flow(name string, belongs func(console.Button) bool) {
	l.begin()
	if l.in.Combination == nil {
		return
	}
	x := l.Margin
	for i, b := range l.in.Combination.Buttons {
		if !belongs(b) {
			continue
		}
		label := l.signs.fit(l.signs.text(b.Name), 20)
		w := width(label) + 3 // [label] and its lamp
		if x == l.Margin {
			l.label(l.H, name, Dim)
		} else if x+w > l.W {
			x = l.Margin
			l.H++
		}
		l.add(Item{ButtonItem, i, 0}, x, l.H, w, label)
		x += w + 1
	}
	if x > l.Margin {
		l.H++
	}
}

// underPedal lays out toe studs and shoes.
func (l layouter) underPedal() {
	l.flow("toes", func(b console.Button) bool { return b.Toe })
	l.shoes()
}

// shoeTravel is how many columns a shoe's travel takes.
const shoeTravel = 12

// shoes lays out the shoes, each with its name in front of its travel and its
// stage behind.
func (l layouter) shoes() {
	l.begin()
	widest := 0
	for _, s := range l.in.Shoes {
		widest = max(widest, min(width(l.signs.text(s.Name)), 14))
	}
	x := l.Margin
	for i, s := range l.in.Shoes {
		w := shoeTravel
		whole := widest + 1 + w + len(" 00/00") + 2
		if i == 0 {
			l.label(l.H, "shoes", Dim)
		} else if x+whole > l.W+2 {
			x = l.Margin
			l.H++
		}
		name := l.signs.fit(l.signs.text(s.Name), 14)
		l.word(x, l.H, name, Plain)
		l.add(Item{ShoeItem, i, 0}, x+widest+1, l.H, w, name)
		x += whole
	}
	if len(l.in.Shoes) > 0 {
		l.H++
	}
}

// rest lays out what belongs to no keyboard: divisions that float with their
// couplers, and what acts on the whole.
func (l layouter) rest() {
	var floating []int
	for d, division := range l.in.Divisions {
		if division.Keyboard == console.None {
			floating = append(floating, d)
		}
	}
	whole := l.whole()
	if len(floating)+len(whole) == 0 {
		return
	}
	l.heading("all keyboards")
	for _, d := range floating {
		l.begin()
		l.table(l.signs.name(l.in.Divisions[d].ID, l.in.Divisions[d].Name), l.stopsOf(d))
	}
	l.begin()
	l.table("couple", l.playedFrom(console.None))
	l.begin()
	l.table("organ", whole)
}

// whole lists what acts on more than a division or keyboard.
func (l layouter) whole() []entry {
	var list []entry
	for control, c := range l.in.Controls {
		switch c.Kind {
		case console.VentilControl, console.TransferControl, console.GatheringControl, console.FollowControl:
			list = append(list, entry{Item{ControlItem, control, 0}, l.signs.text(c.Name)})
		case console.TremulantControl:
			if len(l.in.Tremulants[c.Index].Divisions) == 0 {
				list = append(list, entry{Item{ControlItem, control, 0}, l.signs.text(c.Name)})
			}
		}
	}
	return list
}
