package wiring

import (
	"fmt"

	"trundle/console"
	"trundle/console/finding"
)

func wireUsedTwice(r *Relay, _ *console.Instrument) []finding.Finding {
	return r.eachList(func(rows []Row) []finding.Finding {
		var found []finding.Finding
		var uses []finding.Place
		used := map[string][]int{} // by cable and wire: 1 + the use
		use := func(cable string, wires []int, place finding.Place) {
			var again []int
			before := 0
			uses = append(uses, place)
			for _, w := range wires {
				if more := w + 1 - len(used[cable]); more > 0 {
					used[cable] = append(used[cable], make([]int, more)...)
				}
				if first := &used[cable][w]; *first == 0 {
					*first = len(uses)
				} else if again = append(again, w); len(again) == 1 {
					before = *first - 1
				}
			}
			if len(again) > 0 {
				what := "wire "
				if len(again) > 1 {
					what = "wires "
				}
				f := fault(place, "take other wires of the cable", "%s%s of %s %s in use already", what, FormatNumbers(again), cable, areIs(len(again)))
				f.Related = []finding.Related{{Place: uses[before], Message: "here"}}
				found = append(found, f)
			}
		}
		for _, row := range rows {
			if row.Wires != nil {
				use(row.Cable, row.Wires, row.Place(WiresColumn))
			}
		}
		for _, j := range r.Joins {
			if j.Wires != nil {
				use(j.Cable, j.Wires, j.Place(JoinWiresColumn))
			}
		}
		return found
	})
}

func colourDisagrees(r *Relay, _ *console.Instrument) []finding.Finding {
	var found []finding.Finding
	for _, cable := range r.Cables {
		code := cable.Code
		for _, tag := range cable.Colours {
			if agrees(code, tag.Wire, tag.Colour) {
				code = variant(code, tag)
				continue
			}
			is := Colour(code, tag.Wire)
			if is == "" {
				is = Colour(DIN47100Repeats, tag.Wire) + " or " + Colour(DIN47100Thirds, tag.Wire)
			}
			found = append(found, fault(tag.At, "look at the cable, then correct the tag or the wire's number",
				"wire %d of %s is tagged %s; by the code %s it is %s", tag.Wire, cable.ID, tag.Colour, code, is))
		}
	}
	return found
}

// codeEnds finds cables of more wires than their code gives colours.
func codeEnds(r *Relay, _ *console.Instrument) []finding.Finding {
	var found []finding.Finding
	for _, cable := range r.Cables {
		var bare []int
		for wire := 1; wire <= cable.Wires && cable.Code != ""; wire++ {
			if r.WireColour(cable.ID, wire) == "" {
				bare = append(bare, wire)
			}
		}
		if len(bare) == 0 {
			continue
		}
		wires := "wire"
		if len(bare) > 1 {
			wires = "wires"
		}
		fix := "give their colours under `colours`, or correct `wires` or `code`"
		if cable.Code == DIN47100 {
			fix = "write which variant it is: " + DIN47100Repeats + " or " + DIN47100Thirds
		}
		found = append(found, finding.Finding{Severity: finding.Note, Place: cable.At, Fix: fix,
			Message: fmt.Sprintf("the code %s says no colour for %s %s of %s", cable.Code, wires, FormatNumbers(bare), cable.ID)})
	}
	return found
}
