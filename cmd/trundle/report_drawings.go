package main

import (
	"fmt"
	"slices"
	"strings"

	"trundle/cmd/trundle/paper"
	"trundle/console"
)

// Measures of drawings, in their own units.
const (
	cellWidth  = 150.0
	cellHeight = 22.0
	sideWidth  = 120.0
)

// abreast is how many divisions a coupler drawing has beside each other, so that
// it can be read on paper.
const abreast = 4

// couplerDrawings are keyboards down the side, the highest manual on top, and
// divisions along the top, some to a drawing: where they cross stands what leads
// there.
func couplerDrawings(in *console.Instrument) (list []*paper.Drawing) {
	for from := 0; from < len(in.Divisions); from += abreast {
		list = append(list, couplerDrawing(in, from, min(from+abreast, len(in.Divisions))))
	}
	return list
}

func couplerDrawing(in *console.Instrument, from, to int) *paper.Drawing {
	var pen paper.Pen
	keyboards := fromTheTop(in)
	top := cellHeight * 1.6
	y := top
	x := func(d int) float64 { return sideWidth + cellWidth*float64(d-from) }
	for d := from; d < to; d++ {
		pen.Text(x(d)+cellWidth*0.5, top-8, "middle", shortened(titled(in.Divisions[d].Name), 18))
	}
	for _, k := range keyboards {
		rows := 1
		for d := from; d < to; d++ {
			rows = max(rows, len(ways(in, k, d)))
		}
		height := cellHeight * float64(rows)
		pen.Text(sideWidth-8, y+15, "end", shortened(titled(in.Keyboards[k].Name), 16))
		for d := from; d < to; d++ {
			class := "thin"
			if in.Divisions[d].Keyboard == k {
				class = "grey"
			}
			pen.Box(class, x(d), y, cellWidth, height)
			for i, text := range ways(in, k, d) {
				pen.Small(x(d)+6, y+15+cellHeight*float64(i), "start", text)
			}
		}
		y += height
	}
	title := "Which keyboard reaches which division"
	if len(in.Divisions) > abreast {
		title += fmt.Sprintf(", divisions %d to %d", from+1, to)
	}
	return pen.Drawn(title, "Keyboards at the side, divisions along the top; grey is a division's home keyboard. "+
		"Each line is a coupler: its pitch, 8 at the key, 16 an octave below, 4 an octave above; + when the division's own couplers follow, ++ when its keys go down too.",
		int(sideWidth+cellWidth*float64(to-from)+10), int(y+10))
}

// ways are how a keyboard reaches a division, a line each.
func ways(in *console.Instrument, k, d int) []string {
	var list []string
	if in.Divisions[d].Keyboard == k {
		list = append(list, "its own keys")
	}
	for _, c := range in.Couplers {
		from := c.Keyboard
		if from == console.None {
			from = in.Divisions[c.Division].Keyboard
		}
		if from != k || c.Division != d {
			continue
		}
		text := pitchOf(c.Shift)
		switch c.Carries {
		case console.CarriesOwn:
			text += "+"
		case console.CarriesAll:
			text += "++"
		}
		if c.Picks != console.PicksAll {
			text += ", " + string(c.Picks)
		}
		list = append(list, shortened(text+"  "+c.Name, 23))
	}
	return list
}

// pitchOf is a coupler's shift as its knob names it.
func pitchOf(shift int) string {
	switch shift {
	case 0:
		return "8"
	case 12:
		return "4"
	case -12:
		return "16"
	}
	return fmt.Sprintf("%+d", shift)
}

func shortened(text string, most int) string {
	if runes := []rune(text); len(runes) > most {
		return string(runes[:most-1]) + "…"
	}
	return text
}

// fromTheTop is the manuals from the highest, the pedals below.
func fromTheTop(in *console.Instrument) []int {
	var manuals, pedals []int
	for k, keyboard := range in.Keyboards {
		if keyboard.Kind == console.Pedal {
			pedals = append(pedals, k)
		} else {
			manuals = append(manuals, k)
		}
	}
	slices.Reverse(manuals)
	return append(manuals, pedals...)
}

// crescendoDrawing is how many stops are on at each stage, a line a sequence.
func crescendoDrawing(in *console.Instrument) *paper.Drawing {
	const left, top, width, height = 44.0, 14.0, 560.0, 220.0
	var pen paper.Pen
	stages, most := 1, 1
	for i, sequence := range in.Crescendo {
		stages = max(stages, len(sequence.Stages))
		most = max(most, slices.Max(stopsByStage(in, i)))
	}
	x := func(stage int) float64 { return left + width*float64(stage)/float64(stages+1) }
	y := func(stops int) float64 { return top + height - height*float64(stops)/float64(most) }
	pen.Line("thin", left, top, left, top+height)
	pen.Line("thin", left, top+height, left+width, top+height)
	for stops := 0; stops <= most; stops += max(1, (most+4)/5) {
		pen.Small(left-6, y(stops)+4, "end", fmt.Sprint(stops))
		pen.Line("thin", left-3, y(stops), left, y(stops))
	}
	for stage := 0; stage <= stages; stage += max(1, stages/15) {
		pen.Small(x(stage), top+height+14, "middle", fmt.Sprint(stage))
	}
	pen.Text(left+width, top+height+32, "end", "stage")
	pen.Text(left, top-2, "start", "stops")
	var names []string
	for i, sequence := range in.Crescendo {
		var points []float64
		counts := stopsByStage(in, i)
		for stage, n := range counts {
			points = append(points, x(stage), y(n), x(stage+1), y(n))
		}
		pen.Path([]string{"thick", "dashed", "thin"}[i%3], points...)
		if sequence.Name != "" {
			pen.Small(points[len(points)-2], points[len(points)-1]-5, "end", sequence.Name)
			names = append(names, sequence.Name)
		}
	}
	text := "How many stops the crescendo has on at each stage, closed at stage 0."
	if len(names) > 1 {
		text += " Sequences: " + strings.Join(names, ", ") + "."
	}
	return pen.Drawn("The crescendo", text, int(left+width+20), int(top+height+40))
}
