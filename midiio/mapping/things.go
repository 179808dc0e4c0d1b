package mapping

import (
	"fmt"
	"slices"

	"trundle/console"
	"trundle/console/finding"
)

// named is a thing that can be worked, and its id.
type named struct {
	id string
	Thing
}

// headed are the headings that things stand under.
var headed = map[Kind]string{Key: "keys", Shoe: "shoes", Control: "controls", Button: "buttons"}

func workable(in *console.Instrument) (list []named) {
	for k, keyboard := range in.Keyboards {
		list = append(list, named{keyboard.ID, Thing{Key, k, keyboard.Keys.From}})
	}
	for s, shoe := range in.Shoes {
		list = append(list, named{shoe.ID, Thing{Kind: Shoe, Index: s}})
	}
	for _, s := range []switches{controlsOf(in), buttonsOf(in)} {
		for i, id := range s.ids {
			list = append(list, named{id, Thing{Kind: s.kind, Index: i}})
		}
	}
	return list
}

// Workable lists all that can be worked: keyboards, each by its lowest key,
// shoes, controls and buttons.
func Workable(in *console.Instrument) (list []Thing) {
	for _, n := range workable(in) {
		list = append(list, n.Thing)
	}
	return list
}

// Names lists the names that Things knows, but for groups of a division.
func Names(in *console.Instrument) []string {
	names := []string{"keys", "shoes", "controls", "buttons"}
	for _, s := range []switches{controlsOf(in), buttonsOf(in)} {
		names = append(names, s.groups...)
	}
	for _, n := range workable(in) {
		names = append(names, n.id)
	}
	return names
}

// Things lists what can be worked of what a name says: keys, shoes, controls or
// buttons; a group of controls or buttons, like generals or stops of great; or
// one id. A keyboard is there by its lowest key.
func Things(in *console.Instrument, name string) (list []Thing, err error) {
	for _, n := range workable(in) {
		if n.id == name || headed[n.Kind] == name {
			list = append(list, n.Thing)
		}
	}
	if list != nil {
		return list, nil
	}
	for _, s := range []switches{controlsOf(in), buttonsOf(in)} {
		members, _ := s.group(in, name)
		for _, i := range members {
			list = append(list, Thing{Kind: s.kind, Index: i})
		}
	}
	if list != nil {
		return list, nil
	}
	wrong := "the instrument has no " + name
	if fix := finding.DidYouMean(name, slices.Compact(Names(in))); fix != "" {
		wrong += "; " + fix
	}
	return nil, fmt.Errorf("%s", wrong)
}
