package mapping

import (
	"fmt"
	"slices"

	"trundle/console"
	"trundle/console/finding"
)

// Workable lists all that can be worked: keyboards, each by its lowest key,
// shoes, controls and buttons.
func Workable(in *console.Instrument) (list []Thing) {
	for _, name := range []string{"keys", "shoes", "controls", "buttons"} {
		things, _ := Things(in, name) // an instrument need not have any
		list = append(list, things...)
	}
	return list
}

// Things lists what can be worked of what a name says: keys, shoes, controls or
// buttons; a group of controls or buttons, like generals or stops of great; or
// one id. A keyboard is there by its lowest key.
func Things(in *console.Instrument, name string) ([]Thing, error) {
	var all []Thing // by id
	var ids []string
	add := func(id string, t Thing) {
		ids, all = append(ids, id), append(all, t)
	}
	for k, keyboard := range in.Keyboards {
		add(keyboard.ID, Thing{Key, k, keyboard.Keys.From})
	}
	for s, shoe := range in.Shoes {
		add(shoe.ID, Thing{Kind: Shoe, Index: s})
	}
	known := []string{"keys", "shoes", "controls", "buttons"}
	for _, s := range []switches{controlsOf(in), buttonsOf(in)} {
		for i, id := range s.ids {
			add(id, Thing{Kind: s.kind, Index: i})
		}
		known = append(known, s.groups...)
	}
	var list []Thing
	for i, t := range all {
		kind, headed := map[string]Kind{"keys": Key, "shoes": Shoe, "controls": Control, "buttons": Button}[name]
		if ids[i] == name || headed && t.Kind == kind {
			list = append(list, t)
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
	if fix := finding.DidYouMean(name, slices.Concat(known, ids)); fix != "" {
		wrong += "; " + fix
	}
	return nil, fmt.Errorf("%s", wrong)
}
