package main

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"trundle/combination"
	"trundle/console"
	"trundle/console/finding"
)

// loudnessFlags are what a plan is asked for.
type loudnessFlags struct {
	memory, generals  string
	sequence, propose int
	jump              float64
	boxes             []string
}

func loudnessCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "loudness INSTRUMENT",
		Short: "Plan the crescendo, or generals that grow, by the levels of the stops",
		Long: `Estimate how loud every stage of the crescendo is, and find stages that add
nothing, get no louder or jump, and stops that are never reached. The levels are
those that the owner measured and wrote at the stops (level: 62, in dB), and a
sum of their powers is an estimate: it knows no room and no couplers.`,
		Example: `  trundle loudness organ.yaml
  trundle loudness organ.yaml --jump 4 --box choir-box=0
  trundle loudness organ.yaml --memory organ-memory.yaml --generals 1/general-1,1/general-2,1/general-3
  trundle loudness organ.yaml --propose 20`,
		Args: oneInstrument,
	}
	f := &loudnessFlags{}
	flags := cmd.Flags()
	flags.StringVar(&f.memory, "memory", "", "use the memories of `FILE`")
	flags.StringVar(&f.generals, "generals", "", "plan these generals instead: `SLOTS` like 1/general-1,1/general-2")
	flags.IntVar(&f.sequence, "sequence", 1, "plan the crescendo's sequence `N`, from 1")
	flags.IntVar(&f.propose, "propose", 0, "propose a sequence of at most `N` stages, softest first")
	flags.Float64Var(&f.jump, "jump", 6, "find steps that are louder by more than `DB`")
	flags.StringArrayVar(&f.boxes, "box", nil, "set a box to a stage: `BOX=STAGE`; otherwise boxes are open")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		switch {
		case cmd.Flags().Changed("propose") && f.propose < 1:
			return complaint{fmt.Sprintf("--propose: a sequence has no %d stages", f.propose), "ask for 1 or more"}
		case !(f.jump >= 0):
			return complaint{fmt.Sprintf("--jump: nothing is louder by %g dB", f.jump), "write 0 or more"}
		}
		in, _, err := loadInstrument(args[0])
		if err != nil {
			return err
		}
		boxes, err := parseBoxes(in, f.boxes)
		if err != nil {
			return err
		}
		if f.propose > 0 {
			return proposeCrescendo(cmd.OutOrStdout(), in, f.propose, boxes)
		}
		memories, err := loadMemories(cmd.ErrOrStderr(), in, f.memory)
		if err != nil {
			return err
		}
		if memories == nil {
			memories = combination.NewMemories(in)
		}
		plan, err := f.plan(in, memories, boxes)
		if err != nil {
			return err
		}
		return writePlan(cmd.OutOrStdout(), in, plan)
	}
	return cmd
}

func (f *loudnessFlags) plan(in *console.Instrument, m *combination.Memories, boxes []int) (combination.Plan, error) {
	if f.generals == "" {
		if len(in.Crescendo) == 0 {
			return combination.Plan{}, complaint{in.File + " has no crescendo", "plan generals with --generals, or ask for a sequence with --propose"}
		}
		if f.sequence < 1 || f.sequence > len(in.Crescendo) {
			return combination.Plan{}, fmt.Errorf("--sequence: no sequence %d; %s has %d", f.sequence, in.File, len(in.Crescendo))
		}
		return combination.PlanCrescendo(m, f.sequence-1, boxes, f.jump), nil
	}
	var slots []console.Slot
	for text := range strings.SplitSeq(f.generals, ",") {
		slot, err := in.ParseSlot(strings.TrimSpace(text))
		if err != nil {
			return combination.Plan{}, fmt.Errorf("--generals: %w", err)
		}
		if slot.Button == console.None {
			return combination.Plan{}, complaint{fmt.Sprintf("--generals: %s names no general", text), "write it like 1/general-1"}
		}
		slots = append(slots, slot)
	}
	return combination.PlanGenerals(m, slots, boxes, f.jump), nil
}

// parseBoxes is the stage of every box: open, but for those that are set.
func parseBoxes(in *console.Instrument, texts []string) ([]int, error) {
	stages := make([]int, len(in.Boxes))
	at := map[string]int{}
	var ids []string
	for b, box := range in.Boxes {
		stages[b], at[box.ID] = box.Stages, b
		ids = append(ids, box.ID)
	}
	for _, text := range texts {
		id, number, _ := strings.Cut(text, "=")
		b, known := at[id]
		if !known {
			return nil, complaint{fmt.Sprintf("--box: no box %q", id), finding.DidYouMean(id, ids)}
		}
		stage, err := strconv.Atoi(number)
		if err != nil || stage < 0 || stage > in.Boxes[b].Stages {
			return nil, complaint{fmt.Sprintf("--box: %q is no stage of %s", number, id), fmt.Sprintf("its stages are 0..%d", in.Boxes[b].Stages)}
		}
		if in.Boxes[b].Softens == 0 {
			return nil, complaint{fmt.Sprintf("--box: %s does not say how much it softens", id), "write softens: and the dB that it takes away when shut at the box"}
		}
		stages[b] = stage
	}
	return stages, nil
}

func writePlan(w io.Writer, in *console.Instrument, plan combination.Plan) error {
	ink := inkFor(w)
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n%-16s %7s %6s  adds\n", ink.bold(in.Name), "step", "dB", "rise")
	for _, s := range plan.Steps {
		dB, rise := "-", ""
		if !math.IsInf(s.DB, -1) {
			dB = fmt.Sprintf("%.1f", s.DB)
		}
		if !math.IsNaN(s.Rise) {
			rise = fmt.Sprintf("%+.1f", s.Rise)
		}
		var changes []string
		for _, c := range s.Adds {
			changes = append(changes, in.Controls[c].ID)
		}
		for _, c := range s.Drops {
			changes = append(changes, "less "+in.Controls[c].ID)
		}
		line := fmt.Sprintf("%-16s %7s %6s  %s", s.Name, dB, rise, strings.Join(changes, ", "))
		fmt.Fprintln(&b, strings.TrimRight(line, " "))
	}
	fmt.Fprintln(&b)
	for _, f := range plan.Findings {
		fmt.Fprintf(&b, "%s: %s: %s\n", f.Place, f.Severity, f.Message)
	}
	fmt.Fprintln(&b, "the levels are those their owner measured; their sum is an estimate")
	_, err := io.WriteString(w, b.String())
	return err
}

// proposeCrescendo prints a sequence as it would stand in the instrument file.
func proposeCrescendo(w io.Writer, in *console.Instrument, stages int, boxes []int) error {
	proposed, leftOut := combination.Propose(in, stages, boxes)
	if len(proposed.Stages) == 0 {
		return complaint{in.File + ": no stop has a level, so there is nothing to put in order", "write level: and the dB you measured at the stops"}
	}
	var b strings.Builder
	b.WriteString("# A proposal to be edited, softest first: the levels are those their owner\n# measured, and their sum is an estimate. Couplers are not placed.\n")
	for _, s := range leftOut {
		fmt.Fprintf(&b, "# left out: %s\n", in.Stops[s].ID)
	}
	b.WriteString("crescendo:\n  stages:\n")
	for _, stage := range proposed.Stages {
		ids := make([]string, len(stage.Adds))
		for i, c := range stage.Adds {
			ids[i] = in.Controls[c].ID
		}
		fmt.Fprintf(&b, "    - [%s]\n", strings.Join(ids, ", "))
	}
	_, err := io.WriteString(w, b.String())
	return err
}
