package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"trundle/console"
	"trundle/console/finding"
	"trundle/midiio/mapping"
	"trundle/sim/cause"
	"trundle/sim/circuit"
	"trundle/sim/contact"
	"trundle/sim/proof"
	"trundle/sim/waiver"
	"trundle/sim/wiring"
)

func checkCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "check INSTRUMENT",
		Short: "Check an instrument, and prove a relay and its wiring against it",
		Long: `Check an instrument file by its rules. With --relay, check the relay design and
its wiring too, and prove that every valve opens exactly when it should, for
every set of keys and every set of controls; or show the smallest case where
one does not. The exit code is 1 when there is an error.

With --certificate, write the question of the proof into a new directory as
formulas in the DIMACS form, for any SAT solver to answer; they are made without
the proof, from the definitions alone.

With --mend, write a switching table that lets the relay play the instrument
with the wiring as it was soldered, proven before it is written, and say what no
table can cure. The exit code is then 0 when the new table leaves no valve wrong.

With --boards, check only what hangs on some boards, while the others are not
wired yet: outputs elsewhere are not compared, and what hangs nowhere yet is not
missing.

Findings that the relay file waives, with a reason, are listed and do not count;
what the proof says cannot be waived.`,
		Example: `  trundle check organ.yaml
  trundle check organ.yaml --relay relay.yaml
  trundle check organ.yaml --relay relay.yaml --format json
  trundle check organ.yaml --relay relay.yaml --boards X1,X2
  trundle check organ.yaml --relay relay.yaml --certificate certificate
  trundle check organ.yaml --relay relay.yaml --mend --to switching-mended.csv`,
		Args: oneInstrument,
	}
	relay := cmd.Flags().String("relay", "", "relay design `FILE`, which names its tables")
	mend := cmd.Flags().Bool("mend", false, "write a switching table that suits the wiring as soldered")
	to := cmd.Flags().String("to", "", "new `FILE` for the table of --mend")
	boards := cmd.Flags().StringSlice("boards", nil, "only what hangs on these `BOARDS`, with commas between them")
	certificate := cmd.Flags().String("certificate", "", "new `DIRECTORY` for formulas that confirm the proof")
	form := formFlag(cmd, "text", "json", "sarif")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if err := checkMend(*relay, *to, *mend); err != nil {
			return err
		}
		switch {
		case *certificate != "" && *relay == "":
			return complaint{"--certificate is of a relay", "name it with --relay"}
		case len(*boards) > 0 && *relay == "":
			return complaint{"--boards are of a relay", "name it with --relay"}
		case len(*boards) > 0 && (*mend || *certificate != ""):
			return complaint{"--mend and --certificate take the whole relay", "leave --boards out"}
		}
		for i, board := range *boards {
			(*boards)[i] = strings.TrimSpace(board)
		}
		c, err := check(args[0], *relay, *boards...)
		if err == nil && *certificate != "" {
			err = c.certify(*certificate)
		}
		if err == nil && *mend {
			err = c.writeMended(*to)
		}
		if err != nil {
			return err
		}
		out := cmd.OutOrStdout()
		switch form.chosen {
		case "json":
			err = writeJSON(out, c.answer())
		case "sarif":
			err = writeJSON(out, sarifOf(c.findings, c.caution()))
		default:
			err = c.text(out, inkFor(out), "trundle")
		}
		if err == nil && c.bad() {
			return errBad
		}
		return err
	}
	return cmd
}

// checked is an instrument, its relay where one was given, and what was found.
type checked struct {
	path, relayPath string
	in              *console.Instrument // nil when broken
	relay           *wiring.Relay       // nil when broken or not given
	findings        []finding.Finding
	waived          []waiver.Waived
	boards          []string           // that count; none when all do
	leftOut         int                // valves that were not compared for it
	unshown         int                // findings on other boards
	proof           *proof.Result      // nil without a relay
	causes          cause.Found        // of what the proof found to differ
	mended          *mendAnswer        // nil without --mend
	certificate     *certificateAnswer // nil without --certificate
}

// bad reports whether something must be put right; a proof that is not equal
// is among the findings. A mended relay is judged by what its new table does.
func (c *checked) bad() bool {
	if c.mended != nil {
		return c.mended.Verdict != string(proof.Equal)
	}
	return finding.Count(c.findings, finding.Error) > 0
}

// check reads and checks everything that the files allow. An error means that
// a file could not be read, or has a format of another version. With boards,
// only what hangs on them counts.
func check(path, relayPath string, boards ...string) (*checked, error) {
	for _, p := range []string{path, relayPath} {
		if err := readable(p); err != nil {
			return nil, err
		}
	}
	c := &checked{path: path, relayPath: relayPath, boards: boards}
	var messages *mapping.Map
	c.in, messages, c.findings = readInstrument(path)
	if messages != nil {
		c.findings = append(c.findings, messages.Slow()...)
	}
	if relayPath != "" {
		if err := c.checkRelay(); err != nil {
			return nil, err
		}
	}
	finding.Sort(c.findings)
	if other := ofOtherFormat(c.findings); other != nil {
		return nil, other
	}
	return c, nil
}

func (c *checked) checkRelay() error {
	if c.in == nil {
		_, found := readRelay(c.relayPath, nil)
		c.findings = append(c.findings, found...)
		c.proof = &proof.Result{Verdict: proof.NotRun, Reason: "the instrument has errors that leave it without meaning"}
		return nil
	}
	relay, found := readRelay(c.relayPath, c.in)
	c.findings = append(c.findings, found...)
	if relay == nil {
		c.findings = append(c.findings, brokenSections(c.relayPath, c.in)...)
		c.proof = &proof.Result{Verdict: proof.NotRun, Reason: "the relay's files have errors that leave them without meaning"}
		return nil
	}
	found = append(wiring.Check(relay, c.in), contact.Check(relay, c.in)...)
	found = append(found, circuit.Check(relay, c.in)...)
	found = append(found, proof.Magnets(relay, c.in)...)
	compared := relay
	if len(c.boards) > 0 {
		cut, err := cutTo(c.in, relay, c.boards)
		if err != nil {
			return err
		}
		found, c.unshown = cut.Findings(found)
		compared, c.leftOut = cut.Relay, len(cut.LeftOut)
	}
	question := proof.Ask(c.in, compared)
	proven := make(chan proof.Result, 1)
	go func() { proven <- question.Prove() }()
	var causes cause.Found // looked for meanwhile: the smallest case takes the proof about as long
	if differing := question.Differing(); len(differing) > 0 {
		causes = cause.Find(c.in, compared, differing)
	}
	result := <-proven
	result.Outputs -= c.leftOut
	c.relay, c.proof = relay, &result
	if result.Verdict == proof.Different {
		c.causes = causes.Of(result.Differing)
	}
	found = onceEach(relay, found)
	c.unwired(compared, found)
	proved := proofFindings(c.in, c.relayPath, &result, c.causes)
	found = append(c.withoutSaid(compared, found, proved), proved...)
	c.waive(append(c.findings, found...))
	return nil
}

// brokenSections is what has no meaning in the sections of a relay file that are read
// last, when its tables have none.
func brokenSections(path string, in *console.Instrument) []finding.Finding {
	frame := wiring.Frame(path, in)
	if frame == nil {
		return nil
	}
	found := append(contact.Check(frame, in), circuit.Check(frame, in)...)
	return slices.DeleteFunc(found, func(f finding.Finding) bool { return !finding.Broken([]finding.Finding{f}) })
}

// ofOtherFormat is the error of files that this version cannot read at all.
func ofOtherFormat(list []finding.Finding) error {
	other := slices.DeleteFunc(slices.Clone(list), func(f finding.Finding) bool { return f.Rule != finding.OtherFormat })
	if len(other) == 0 {
		return nil
	}
	return broken{findings: other}
}

// text writes the answer as text; program is how the user calls this one.
func (c *checked) text(w io.Writer, ink ink, program string) error {
	answer := c.answer()
	r := &report{ink: ink, sources: excerpts{}}
	r.findings(c.findings)
	r.waived(answer.Waived)
	if answer.Proof != nil {
		r.proof(answer.Proof, c.replay(program, answer.Proof.Counterexample))
	}
	fmt.Fprintln(r, ink.bold(foreman(c.name(), answer.Counts, answer.Proof)))
	if answer.Caution != "" {
		fmt.Fprintln(r, "what it says of currents and voltages is "+answer.Caution)
	}
	if c.certificate != nil {
		c.certificate.text(r)
	}
	if c.mended != nil {
		c.mended.text(r, ink)
	}
	_, err := io.WriteString(w, r.String())
	return err
}

func (c *checked) name() string {
	if c.in == nil {
		return c.path
	}
	return c.in.Name
}

// replay is the command that shows a counterexample: what should sound, and
// what the relay does instead.
func (c *checked) replay(program string, ce *counterexample) string {
	if ce == nil {
		return ""
	}
	command := program + " sound " + shellQuote(c.path)
	if len(ce.Draw) > 0 {
		command += " --draw " + shellQuote(strings.Join(ce.Draw, ","))
	}
	for _, play := range ce.Play {
		command += " --play " + shellQuote(play)
	}
	return command + " --relay " + shellQuote(c.relayPath)
}

// reason is what the system said, without the path.
func reason(err error) error {
	var at *fs.PathError
	if errors.As(err, &at) {
		return at.Err
	}
	return err
}
