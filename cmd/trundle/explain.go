package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"trundle/console/finding"
	"trundle/sim/circuit"
	"trundle/sim/rule"
)

func explainCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "explain [RULE | FILE-KIND | FIELD]",
		Short: "Say what a finding means, or what may stand in a file",
		Long: `Say what the findings of a rule mean, with a faulty and a repaired example: the
words in brackets behind each finding of a check. Without a rule, list them all.

The kinds of files are instrument, relay, wiring, joins and switching: every
field or column that may stand in one; midi is the section of that name. A field
or column is explained by itself too. With --format json, the JSON Schema of an
instrument or relay file, for editors that know such schemas.`,
		Example: `  trundle explain
  trundle explain pins-swapped
  trundle explain wiring
  trundle explain carries`,
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]cobra.Completion, cobra.ShellCompDirective) {
			if len(args) > 0 {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			return explainable(), cobra.ShellCompDirectiveNoFileComp
		},
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 1 {
				return fmt.Errorf("explain takes one rule or kind of file, not %d: %s", len(args), strings.Join(args, " "))
			}
			return nil
		},
	}
	form := formFlag(cmd, "text", "json")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if len(args) == 1 {
			args = []string{explained(args[0])}
		}
		answer := explainAnswer{Schema: "trundle.explain/1", Rules: []pageAnswer{}}
		for _, family := range rule.Families {
			for _, page := range family.Pages {
				if len(args) == 0 || page.ID == args[0] {
					answer.Rules = append(answer.Rules, pageAnswer{page.ID, family.Name, page.Title, page.Text, page.File,
						page.Faulty, page.Repaired, page.Ignored, page.Source, family.Waivable})
				}
			}
		}
		out := cmd.OutOrStdout()
		field := ""
		if len(args) == 1 && form.chosen == "text" {
			field = explainField(inkFor(out), args[0])
		}
		switch {
		case len(args) == 1 && slices.Contains(fileKinds, args[0]):
			return explainFile(out, inkFor(out), args[0], form.chosen == "json")
		case len(answer.Rules) == 0 && field != "":
			_, err := io.WriteString(out, field)
			return err
		case len(answer.Rules) == 0:
			return complaint{"no rule " + args[0], nearRule(args[0])}
		case form.chosen == "json":
			return writeJSON(out, answer)
		case len(args) == 0:
			return writeRules(out, inkFor(out))
		}
		return answer.Rules[0].text(out, inkFor(out))
	}
	return cmd
}

// explainable are all rules, kinds of files and fields.
func explainable() []string {
	all := slices.Concat(rule.IDs(), fileKinds, fieldNames())
	slices.Sort(all)
	return slices.Compact(all)
}

// explained is the rule, kind of file or field that a word means: in brackets, in
// capitals, one or several of it; of a file its kind.
func explained(word string) string {
	known := explainable()
	word = strings.Trim(strings.TrimSpace(word), "[]`") // as it stands in a finding
	lower := strings.ToLower(word)
	for _, name := range []string{word, lower, lower + "s", strings.TrimSuffix(lower, "s")} {
		if slices.Contains(known, name) {
			return name
		}
	}
	is, _ := kindOf(beginning(word))
	if kind := map[kind]string{instrumentKind: "instrument", relayKind: "relay", wiringKind: "wiring", joinsKind: "joins", switchingKind: "switching"}[is]; kind != "" {
		return kind
	}
	return word
}

// nearRule says what may be meant by what is neither rule nor field: one that is
// written nearly so, or rules that have the word in their name.
func nearRule(word string) string {
	if lower := strings.ToLower(word); strings.HasSuffix(lower, "-stuck") || strings.HasPrefix(lower, "cipher") {
		return "what is stuck on is in no file: it is heard, and trundle listen --help says how"
	}
	if fix := finding.DidYouMean(word, explainable()); fix != "" {
		return fix
	}
	if ids := rulesWith(word); len(ids) > 0 {
		return "rules with that word are " + someOf(ids)
	}
	return "trundle explain lists them; kinds of files are " + strings.Join(fileKinds, ", ")
}

// rulesWith are the rules that have a word in their name.
func rulesWith(word string) (ids []string) {
	for _, id := range rule.IDs() {
		if strings.Contains(id, strings.TrimSuffix(strings.ToLower(word), "s")) {
			ids = append(ids, id)
		}
	}
	return ids
}

// explainAnswer is pages in the shape of schema trundle.explain/1.
type explainAnswer struct {
	Schema string       `json:"schema"`
	Rules  []pageAnswer `json:"rules"`
}

type pageAnswer struct {
	Rule     string `json:"rule"`
	Family   string `json:"family"`
	Title    string `json:"title"`
	Text     string `json:"text"`
	File     string `json:"file"` // of the examples
	Faulty   string `json:"faulty"`
	Repaired string `json:"repaired"`
	Ignored  string `json:"ignored"`
	Source   string `json:"source"`
	Waivable bool   `json:"waivable"`
}

// writeRules lists every rule with its title.
func writeRules(w io.Writer, ink ink) error {
	var b strings.Builder
	for i, family := range rule.Families {
		if i > 0 {
			b.WriteString("\n")
		}
		fmt.Fprintf(&b, "%s\n", ink.bold(family.About))
		for _, page := range family.Pages {
			fmt.Fprintf(&b, "  %-22s %s\n", page.ID, page.Title)
		}
	}
	fmt.Fprintf(&b, "\nkinds of files, with every field or column of theirs: trundle explain %s\n", strings.Join(fileKinds, ", "))
	_, err := io.WriteString(w, b.String())
	return err
}

func (p pageAnswer) text(w io.Writer, ink ink) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s\n\n%s\n\n", ink.bold(p.Rule), p.Title, wrap(p.Text, 80))
	fmt.Fprintf(&b, "%s, in %s\n%s\n\n", ink.red("faulty"), p.File, indent(p.Faulty))
	fmt.Fprintf(&b, "%s\n%s\n\n", ink.green("repaired"), indent(p.Repaired))
	fmt.Fprintf(&b, "%s\n\n", wrap("When ignored: "+p.Ignored, 80))
	if p.Waivable {
		fmt.Fprintf(&b, "%s\n\n", "A waiver in relay.yaml may set it aside:\n  waivers: [{rule: "+p.Rule+", at: PLACE, reason: WHY}]")
	} else {
		b.WriteString("It cannot be waived.\n\n")
	}
	fmt.Fprintf(&b, "%s\n", wrap("Source: "+p.Source+".", 80))
	if electrical(p.Family) {
		fmt.Fprintf(&b, "\n%s\n", wrap("It is "+circuit.Caution+".", 80))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// electrical reports whether a family of rules is about currents and voltages.
func electrical(family string) bool { return family == "circuit" || family == "code" }

// wrap breaks a text into lines of at most so many characters, where words
// allow it.
func wrap(text string, width int) string {
	var b strings.Builder
	column := 0
	for i, word := range strings.Fields(text) {
		length := len([]rune(word))
		switch {
		case i == 0:
		case column+1+length > width:
			b.WriteByte('\n')
			column = 0
		default:
			b.WriteByte(' ')
			column++
		}
		b.WriteString(word)
		column += length
	}
	return b.String()
}

func indent(text string) string { return "  " + strings.ReplaceAll(text, "\n", "\n  ") }
