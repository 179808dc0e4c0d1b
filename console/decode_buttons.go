package console

import (
	"slices"

	"trundle/console/yamldoc"
)

var buttonKinds = []string{string(General), string(Divisional), string(Cancel), string(Set), string(Reversible),
	string(TuttiKind), string(Next), string(Previous), string(MemoryUp), string(MemoryDown), string(CrescendoKind)}

// mostMemories bounds the memories of a combination action.
const mostMemories = 9999

func (l *loader) readCombination(n *yamldoc.Node) {
	if n == nil {
		return
	}
	f := l.Fields(n, article("combination"), fieldsOf["combination"])
	c := &Combination{
		Memories: f.Int("memories", 1, mostMemories, 1),
		End:      End(f.Choice("end", "", string(EndStop), string(EndWrap), string(EndNext))),
		Travel:   f.Int("travel", 10, 10_000, 0),
	}
	pairs := f.ByID("buttons", yamldoc.PlainID)
	for _, entry := range pairs {
		if i, taken := l.controls.index[entry.Key.Text]; taken {
			l.Twice(entry.Key, l.controls.at[i], entry.Key.Text)
		}
		l.buttons.add(l.Source, entry.Key)
	}
	for _, entry := range pairs {
		c.Buttons = append(c.Buttons, l.button(entry))
	}
	for i := range c.Buttons {
		l.repeat(c.Buttons, i)
	}
	l.in.Combination = c
}

func (l *loader) button(entry yamldoc.Pair) Button {
	f, name := l.entry(entry, "button")
	if f.Node("repeats") == nil {
		f.Need("kind")
	}
	b := Button{
		ID:       entry.Key.Text,
		Name:     name,
		Kind:     ButtonKind(f.Choice("kind", "", buttonKinds...)),
		Keyboard: l.keyboards.find(l.Source, f.Node("keyboard")),
		Division: l.divisions.find(l.Source, f.Node("division")),
		Leaves:   l.controls.list(l.Source, f.Texts("leaves")),
		Control:  l.controls.find(l.Source, f.Node("control")),
		Repeats:  l.buttons.find(l.Source, f.Node("repeats")),
		Toe:      f.Bool("toe"),
		Fixed:    f.Bool("fixed") || f.Node("sets") != nil,
		Sets:     l.controls.list(l.Source, f.Texts("sets")),
		At:       l.Place(entry.Key),
	}
	b.Scope, b.List = l.scope(f, b.Kind)
	for _, only := range []struct {
		field string
		of    []ButtonKind
		must  ButtonKind // the kind that cannot be without it
	}{
		{"division", []ButtonKind{Divisional, Cancel}, Divisional},
		{"control", []ButtonKind{Reversible}, Reversible},
		{"scope", []ButtonKind{Divisional}, ""},
		{"leaves", []ButtonKind{Divisional, General, Cancel}, ""},
		{"fixed", []ButtonKind{TuttiKind, CrescendoKind, Reversible}, ""},
		{"sets", []ButtonKind{Divisional, General}, ""},
	} {
		n := f.Node(only.field)
		switch {
		case n != nil && b.Repeats != None:
			l.Wrong(n, "take it away", "a button that repeats another has the %s of that one", only.field)
		case b.Kind == "":
		case !slices.Contains(only.of, b.Kind) && n != nil:
			l.Wrong(n, "take it away", "a button of kind %s has no %s", b.Kind, only.field)
		case b.Kind == only.must && b.Repeats == None:
			f.Need(only.field)
		}
	}
	return b
}

// scope reads `own`, `own+played` or a list of controls.
func (l *loader) scope(f yamldoc.Fields, kind ButtonKind) (Scope, []int) {
	n := f.Node("scope")
	if n != nil && n.Kind == yamldoc.List {
		return ScopeList, l.controls.list(l.Source, l.Texts(n))
	}
	scope := Scope(f.Choice("scope", string(ScopeOwn), string(ScopeOwn), string(ScopePlayed)))
	if kind != Divisional {
		return "", nil
	}
	return scope, nil
}

// repeat gives a button that does the work of another that one's work.
func (l *loader) repeat(buttons []Button, i int) {
	b := &buttons[i]
	if b.Repeats == None {
		return
	}
	entry := l.buttons.at[i]
	of := buttons[b.Repeats]
	if of.Repeats != None {
		l.Wrong(entry, "let it repeat the button that does the work", "%s repeats %s, which repeats a button itself", b.ID, of.ID)
		return
	}
	if b.Kind != "" && b.Kind != of.Kind {
		l.Wrong(entry, "take `kind` away", "%s is %s, but it repeats %s, which is %s", b.ID, b.Kind, of.ID, of.Kind)
	}
	b.Kind, b.Division, b.Scope, b.List, b.Leaves, b.Control = of.Kind, of.Division, of.Scope, of.List, of.Leaves, of.Control
	b.Fixed, b.Sets = of.Fixed, of.Sets
}
