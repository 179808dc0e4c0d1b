package main

import (
	"strings"

	"github.com/spf13/cobra"

	"trundle/console"
	"trundle/sim/fault"
	"trundle/sim/wiring"
)

// named is what has names on a command line; the relay is nil without one.
type named struct {
	in    *console.Instrument
	relay *wiring.Relay
}

// completions are what may follow a flag, whatever command it is of.
var completions = map[string]func(named, string) []cobra.Completion{
	"draw":   completeDraw,
	"play":   completePlay,
	"hold":   completePlay,
	"boards": completeBoards,
	"fault":  completeFault,
}

// completeNames completes flags with the names in the instrument and the relay
// that stand on the command line, and what `where` is asked for.
func completeNames(root *cobra.Command) {
	const directive = cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveNoSpace
	for _, cmd := range root.Commands() {
		for flag, complete := range completions {
			if f := cmd.Flags().Lookup(flag); f == nil || f.Value.Type() == "duration" {
				continue
			}
			err := cmd.RegisterFlagCompletionFunc(flag, func(cmd *cobra.Command, args []string, typed string) ([]cobra.Completion, cobra.ShellCompDirective) {
				n, ok := namesOn(cmd, args)
				if !ok {
					return nil, directive
				}
				return complete(n, typed), directive
			})
			if err != nil {
				panic(err) // the flag is there, and nobody else completes it
			}
		}
	}
	where, _, _ := root.Find([]string{"where"})
	where.ValidArgsFunction = func(cmd *cobra.Command, args []string, typed string) ([]cobra.Completion, cobra.ShellCompDirective) {
		if len(args) != 1 {
			return nil, cobra.ShellCompDirectiveDefault
		}
		in, relay, err := relayAlone(args[0], cmd.Flag("instrument").Value.String())
		if err != nil {
			return nil, directive
		}
		return completeWhere(named{in, relay}, typed), directive
	}
}

// namesOn reads what stands on a command line so far.
func namesOn(cmd *cobra.Command, args []string) (n named, ok bool) {
	path := ""
	if on := cmd.Flag("on"); on != nil {
		path = on.Value.String()
	} else if len(args) > 0 {
		path = args[0]
	}
	in, _, err := loadInstrument(path)
	if path == "" || err != nil {
		return n, false
	}
	n.in = in
	if relay := cmd.Flag("relay"); relay != nil {
		n.relay, _ = loadRelay(relay.Value.String(), in) // without one there are fewer names
	}
	return n, true
}

// starting keeps what begins with what is typed, the last of several with
// commas between them.
func starting(typed string, names ...cobra.Completion) []cobra.Completion {
	before := typed[:strings.LastIndex(typed, ",")+1]
	var list []cobra.Completion
	for _, name := range names {
		if name = before + name; strings.HasPrefix(name, typed) {
			list = append(list, name)
		}
	}
	return list
}

// completeDraw is the stops, couplers and other controls.
func completeDraw(n named, typed string) []cobra.Completion {
	var names []cobra.Completion
	for _, control := range n.in.Controls {
		names = append(names, cobra.CompletionWithDesc(control.ID, control.Name))
	}
	return starting(typed, names...)
}

// completePlay is the keyboards, before a key of theirs.
func completePlay(n named, typed string) []cobra.Completion {
	var list []cobra.Completion
	for _, keyboard := range n.in.Keyboards {
		if name := keyboard.ID + ":"; strings.HasPrefix(name, typed) {
			list = append(list, cobra.CompletionWithDesc(name, keyboard.Keys.String()))
		}
	}
	return list
}

// completeBoards is the boards of the relay.
func completeBoards(n named, typed string) []cobra.Completion {
	if n.relay == nil {
		return nil
	}
	var names []cobra.Completion
	for _, board := range n.relay.Boards {
		names = append(names, cobra.CompletionWithDesc(board.ID, boardTitle(n.relay, board.ID)))
	}
	return starting(typed, names...)
}

// completeFault is one mistake of each class that the relay can have.
func completeFault(n named, typed string) []cobra.Completion {
	if n.relay == nil {
		return nil
	}
	var list []cobra.Completion
	for _, example := range fault.Examples(n.relay, n.in) {
		if strings.HasPrefix(example.Fault, typed) {
			list = append(list, cobra.CompletionWithDesc(example.Fault, count(example.Ways, "place")))
		}
	}
	return list
}

// completeWhere is all that hangs on pins: boards and strips before a pin, ranks
// before a valve, keyboards before a key, and controls.
func completeWhere(n named, typed string) []cobra.Completion {
	var names []cobra.Completion
	add := func(name, says string) { names = append(names, cobra.CompletionWithDesc(name, says)) }
	for _, board := range n.relay.Boards {
		add(board.ID+".", boardTitle(n.relay, board.ID))
	}
	for _, strip := range n.relay.Strips {
		add(strip.ID+".", boardTitle(n.relay, strip.ID))
	}
	for _, rank := range n.in.Ranks {
		add(rank.ID, "rank")
		add(rank.ID+":", "valves of the rank")
	}
	for _, keyboard := range n.in.Keyboards {
		add(keyboard.ID+":", "keys "+keyboard.Keys.String())
	}
	for _, control := range n.in.Controls {
		add(control.ID, control.Name)
	}
	return starting(typed, names...)
}
