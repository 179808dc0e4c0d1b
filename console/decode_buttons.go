package console

import (
	"slices"

	"trundle/console/yamldoc"
)

var buttonKinds = []string{string(General), string(Divisional), string(Cancel), string(Set), string(Reversible),
	string(TuttiKind), string(Next), string(Previous), string(MemoryUp), string(MemoryDown)}

// mostMemories bounds the memories of a combination action.
const mostMemories = 9999

func (l *loader) readCombination(n *yamldoc.Node) {
	if n == nil {
		return
	}
	f := l.Fields(n, article("combination"), fieldsOf["combination"])
	c := &Combination{Memories: f.Int("memories", 1, mostMemories, 1)}
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
		At:       l.Place(entry.Key),
	}
	b.Scope, b.List = l.scope(f, b.Kind)
	for _, only := range []struct {
		field string
		of    []ButtonKind
		must  bool
	}{
		{"division", []ButtonKind{Divisional}, true},
		{"control", []ButtonKind{Reversible}, true},
		{"scope", []ButtonKind{Divisional}, false},
		{"leaves", []ButtonKind{Divisional, General}, false},
	} {
		if b.Kind == "" {
			break
		}
		if slices.Contains(only.of, b.Kind) {
			if only.must {
				f.Need(only.field)
			}
		} else if n := f.Node(only.field); n != nil {
			l.Wrong(n, "take it away", "a button of kind %s has no %s", b.Kind, only.field)
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
}
