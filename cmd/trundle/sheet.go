package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"
)

func sheetCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "sheet INSTRUMENT",
		Short: "Print the stop list with pipes and totals, the pistons, and the pins",
		Long: `Print the stops of every division with their footage, family, ranks, valves and
pipes, and totals; percussions apart. A borrowed or extended stop adds no pipes
to those that stop before it play. Then the pistons and, with --relay, every pin
of the wiring as soldered.`,
		Example: `  trundle sheet organ.yaml
  trundle sheet organ.yaml --relay relay.yaml --format html
  trundle sheet organ.yaml --relay relay.yaml --format csv --table pins`,
		Args: oneInstrument,
	}
	relay := cmd.Flags().String("relay", "", "relay design `FILE`, for the table of pins")
	table := choiceFlag(cmd, "table", "the table that --format csv prints", "stops", "pistons", "pins")
	form := formFlag(cmd, "text", "csv", "json", "html")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		in, _, err := loadInstrument(args[0])
		if err != nil {
			return err
		}
		r, err := loadRelay(*relay, in)
		if err != nil {
			return err
		}
		switch {
		case cmd.Flags().Changed("table") && form.chosen != "csv":
			return complaint{"--table chooses a table of --format csv", "add --format csv, or leave it out"}
		case table.chosen == "pins" && r == nil:
			return complaint{"--table pins needs a relay", "name one with --relay"}
		}
		return writeSheet(cmd.OutOrStdout(), answerSheet(in, r), form.chosen, table.chosen)
	}
	return cmd
}

func writeSheet(w io.Writer, a sheetAnswer, form, table string) error {
	switch form {
	case "json":
		return writeJSON(w, a)
	case "html":
		return sheetPage.Execute(w, a)
	case "csv":
		return writeCSV(w, a.table(table))
	}
	_, err := fmt.Fprint(w, sheetText(a, inkFor(w)))
	return err
}
