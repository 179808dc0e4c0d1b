package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"trundle/cmd/trundle/paper"
	"trundle/combination"
	"trundle/console/finding"
	"trundle/sim/circuit"
)

func reportCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "report INSTRUMENT --to DIR",
		Short: "Write the papers of an instrument and its relay, to print and to sign",
		Long: `Write the papers of an instrument into a new directory: report.html, one page that
needs no network and prints on A4 and Letter; report.xlsx, its tables as a workbook;
each table as CSV, with those that are too long to print; and each drawing as SVG.

There are the stop list, compasses, couplers, ranks, pistons and crescendo. With
--relay, the proof or the findings, the wiring by board, tags for the ends of
cables, and where the relay says something of electricity its currents. With
--memory, what the pistons hold. With --day, the record of what was tested, which
walk --to keeps: what is not good, who answered, and whether it was tested with the
files of these papers. With --boards, only what hangs on these counts and is listed,
and the papers say how much is left out. The exit code is 1 when a check finds an error, or a record
has something that is not good or is not whole: the papers then say so.`,
		Example: `  trundle report organ.yaml --to papers
  trundle report organ.yaml --relay relay.yaml --memory organ-memory.yaml --to papers
  trundle report organ.yaml --relay relay.yaml --day day.jsonl --to papers`,
		Args: oneInstrument,
	}
	relay := cmd.Flags().String("relay", "", "relay design `FILE`")
	boards := cmd.Flags().StringSlice("boards", nil, "only what hangs on these `BOARDS`, with commas between them")
	memory := cmd.Flags().String("memory", "", "memory `FILE` of the combination action")
	records := cmd.Flags().StringArray("day", nil, "record `FILE` of what was tested, as walk --to keeps it; repeatable")
	to := cmd.Flags().String("to", "", "new `DIR` for the papers")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if *to == "" {
			return complaint{"report needs a directory to write", "name a new one with --to, like --to papers"}
		}
		if ext := filepath.Ext(*to); slices.Contains([]string{".html", ".htm", ".pdf", ".xlsx", ".csv", ".docx", ".md", ".txt"}, strings.ToLower(ext)) {
			return complaint{*to + ": the papers are a directory of files", "name it like --to " + shellQuote(strings.TrimSuffix(*to, ext)) + "; a PDF is printed from the page in it"}
		}
		if _, err := os.Lstat(*to); err == nil {
			return complaint{*to + ": exists already", "nothing is ever overwritten; name another directory"}
		}
		if _, _, err := loadInstrument(args[0]); err != nil {
			return err
		}
		if len(*boards) > 0 && *relay == "" {
			return complaint{"--boards are of a relay", "name it with --relay"}
		}
		for i, board := range *boards {
			(*boards)[i] = strings.TrimSpace(board)
		}
		c, err := check(args[0], *relay, *boards...)
		if err != nil {
			return err
		}
		if *relay != "" && c.relay == nil {
			return broken{c.findings, checkCommandFor(args[0], *relay)}
		}
		memories, err := loadMemories(cmd.ErrOrStderr(), c.in, *memory)
		if err != nil {
			return err
		}
		var days []*dayAnswers
		for _, path := range *records {
			if strings.Contains(path, ",") && absent(path) == nil {
				return complaint{"--day " + shellQuote(path) + ": is no file", "give each record a --day of its own"}
			}
			day, err := loadDay(path)
			if err != nil {
				return err
			}
			days = append(days, day)
		}
		p, err := papers(c, memories, days, time.Now())
		if err != nil {
			return err
		}
		files, err := writePapers(*to, p)
		if err != nil {
			return err
		}
		if _, err := fmt.Fprintf(cmd.OutOrStdout(), "%s written, with %s of its tables and drawings: open it in a browser, and print from there\n", filepath.Join(*to, "report.html"), count(files, "file")); err != nil {
			return err
		}
		var why []string
		if c.bad() {
			why = append(why, "trundle check finds "+count(finding.Count(c.findings, finding.Error), "error"))
		}
		for _, day := range days {
			if day.bad() {
				why = append(why, day.why())
			}
		}
		if len(why) == 0 {
			return nil
		}
		fmt.Fprintf(cmd.OutOrStdout(), "not all is good: %s\n", strings.Join(why, "; "))
		return errBad
	}
	return cmd
}

// papers are the papers of what was checked.
func papers(c *checked, memories *combination.Memories, days []*dayAnswers, now time.Time) (*paper.Paper, error) {
	p := &paper.Paper{
		Title:   c.in.Name,
		Lines:   []string{"Papers of the console and its relay, made on " + now.Format("2 January 2006") + " by trundle " + version() + "."},
		Caution: circuit.Caution + "; coils and rectifiers run hot, pipes can hurt the ear, and shades and sliders move by themselves",
	}
	add := func(sections ...paper.Section) { p.Sections = append(p.Sections, sections...) }
	relay := c.shown()
	sheet := answerSheet(c.in, relay)
	files := tablePart(filesTable(c.digests()))
	if c.relay != nil {
		s := proofSection(c)
		s.Parts = append(s.Parts, files)
		if slices.ContainsFunc(days, (*dayAnswers).bad) {
			s.Verdict += " What was tested on site is not good."
		}
		add(s)
	} else {
		add(paper.Section{ID: "read", Title: "What these papers say", Text: []string{"What the instrument file says of the organ; there is no relay beside it."}, Parts: []paper.Part{files}})
	}
	add(daySections(days, c.digests())...)
	add(stopSections(sheet)...)
	add(compassSection(c.in), couplerSection(c.in), rankSection(c.in))
	if c.in.Combination != nil {
		add(buttonSection(c.in, sheet, memories))
	}
	if len(c.in.Crescendo) > 0 {
		add(crescendoSection(c.in))
	}
	if c.relay != nil {
		add(wiringSections(relay, sheet)...)
		if circuit.Given(c.relay) && len(c.boards) == 0 {
			section, err := currentSection(c)
			if err != nil {
				return nil, err
			}
			add(section)
		}
	}
	sign := signSection(days)
	sign.Break = p.Sections[len(p.Sections)-1].ID == "tags" // which are cut apart
	add(sign)
	return p, nil
}

// writePapers writes papers into a new directory, all or nothing, and returns
// how many files there are besides the page.
func writePapers(dir string, p *paper.Paper) (files int, err error) {
	if err := os.Mkdir(dir, 0o755); err != nil {
		if errors.Is(err, fs.ErrExist) {
			return 0, complaint{dir + ": exists already", "nothing is ever overwritten; name another directory"}
		}
		if errors.Is(err, fs.ErrNotExist) {
			return 0, complaint{dir + ": cannot be made", "make " + filepath.Dir(dir) + " first"}
		}
		return 0, fmt.Errorf("%s: cannot be made: %w", dir, reason(err))
	}
	defer func() {
		if err != nil {
			os.RemoveAll(dir) // it was made just now
		}
	}()
	write := func(name string, fill func(io.Writer) error) error {
		var b bytes.Buffer
		if err := fill(&b); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		files++
		return writeNew(filepath.Join(dir, name), b.Bytes())
	}
	if err := write("report.html", p.WriteHTML); err != nil {
		return 0, err
	}
	if err := write("report.xlsx", p.WriteXLSX); err != nil {
		return 0, err
	}
	for _, s := range p.Sections {
		name := s.ID
		for n, d := range s.Drawings() {
			if n > 0 {
				name = fmt.Sprintf("%s-%d", s.ID, n+1)
			}
			if err := write(name+".svg", d.WriteSVG); err != nil {
				return 0, err
			}
		}
	}
	for _, t := range p.Tables() {
		if err := write(t.Name+".csv", t.WriteCSV); err != nil {
			return 0, err
		}
	}
	return files - 1, nil
}
