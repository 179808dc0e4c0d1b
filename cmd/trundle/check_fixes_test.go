package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"trundle/console/finding"
	"trundle/sim/proof"
)

// sheetForm is how a shop writes its list of wiring.
type sheetForm struct {
	file    string
	comma   string // "" for a workbook
	columns []string
	shop    string // `columns` of the relay
}

var sheetForms = map[string]sheetForm{
	"comma":     {"wiring.csv", ",", []string{"board", "pins", "kind", "item", "notes", "cable", "wires", "group"}, ""},
	"semicolon": {"wiring.csv", ";", []string{"kind", "item", "notes", "board", "pins", "cable", "wires", "group"}, ""},
	"tab":       {"wiring.csv", "\t", []string{"board", "pins", "kind", "item", "notes", "cable", "wires"}, ""},
	"shop": {"wiring.csv", ",", []string{"Remarks", "Plug", "Pin", "What", "Of", "Which", "Cable", "Core", "Colour"},
		"columns: {Plug: board, Pin: pins, What: kind, Of: item, Which: notes, Core: wires, Remarks: ignore, Colour: ignore}\n"},
	"workbook": {"wiring.xlsx", "", []string{"Remarks", "Plug", "Pin", "What", "Of", "Which", "Cable", "Core"},
		"columns: {Plug: board, Pin: pins, What: kind, Of: item, Which: notes, Core: wires, Remarks: ignore}\n"},
}

// own is where a column stands among those of the documentation; -1 for others.
func own(column string) int {
	return slices.IndexFunc([][]string{{"board", "Plug"}, {"pins", "Pin"}, {"kind", "What"}, {"item", "Of"}, {"notes", "Which"}, {"cable", "Cable"}, {"wires", "Core"}, {"group"}},
		func(names []string) bool { return slices.Contains(names, column) })
}

// rows are the cells of a list in a form, a header first. Other columns hold what
// needs quotes.
func (f sheetForm) rows(list []string) [][]string {
	rows := [][]string{f.columns}
	for i, line := range list {
		cells := make([]string, len(f.columns))
		for at, column := range f.columns {
			if k := own(column); k >= 0 {
				cells[at] = strings.Split(line, ",")[k]
			} else if i%2 == 0 {
				cells[at] = fmt.Sprintf(`tested, "good" %d`, i)
			}
		}
		rows = append(rows, cells)
	}
	return rows
}

func (f sheetForm) write(t *testing.T, folder string, rows [][]string) {
	path := filepath.Join(folder, f.file)
	if f.comma == "" {
		book := excelize.NewFile()
		defer book.Close()
		for i, row := range rows {
			require.NoError(t, book.SetSheetRow("Sheet1", fmt.Sprintf("A%d", i+1), &row))
		}
		require.NoError(t, book.SaveAs(path))
		return
	}
	var lines []string
	for _, row := range rows {
		lines = append(lines, f.line(row))
	}
	require.NoError(t, os.WriteFile(path, []byte(strings.Join(lines, "\n")+"\n"), 0o600))
}

func (f sheetForm) line(row []string) string {
	cells := slices.Clone(row)
	for i, text := range cells {
		if strings.ContainsAny(text, f.comma+`"`) {
			cells[i] = `"` + strings.ReplaceAll(text, `"`, `""`) + `"`
		}
	}
	return strings.Join(cells, f.comma)
}

var (
	inLine  = regexp.MustCompile(`^(?:in line (\d+) )?write (.*)$`)
	outLine = regexp.MustCompile(`^(?:in line (\d+) )?take the row out$`)
	addLine = regexp.MustCompile(`^add to \S+ the row (.*)$`)
	inCell  = regexp.MustCompile(`^cell ([A-Z]+\d+): (?:write (.*)|leave it empty)$`)
)

// follow does in a file what fixes say, to the letter. Rows that are taken out
// leave an empty one, so that the places of others stay what they are.
func (f sheetForm) follow(t *testing.T, folder string, found []finding.Finding) {
	path := filepath.Join(folder, f.file)
	var book *excelize.File
	var lines []string
	if f.comma == "" {
		var err error
		book, err = excelize.OpenFile(path)
		require.NoError(t, err)
		defer book.Close()
	} else {
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		lines = strings.Split(strings.TrimRight(string(text), "\n"), "\n")
	}
	number := func(text string, line int) int {
		if n, err := strconv.Atoi(text); err == nil {
			return n
		}
		return line
	}
	for _, one := range found {
		if strings.HasPrefix(one.Fix, "what is to be written for ") {
			continue
		}
		fix, is := strings.CutPrefix(one.Fix, "either in "+filepath.Base(one.File)+" ")
		if is {
			fix, _, _ = strings.Cut(fix, ", or in ")
		}
		for part := range strings.SplitSeq(fix, " and then ") {
			if m := addLine.FindStringSubmatch(part); m != nil && book != nil {
				rows, err := book.GetRows("Sheet1")
				require.NoError(t, err)
				for _, cell := range strings.Split(m[1], ", ") {
					column, text, _ := strings.Cut(cell, ": ")
					require.NoError(t, book.SetCellStr("Sheet1", fmt.Sprintf("%s%d", column, len(rows)+1), text))
				}
			} else if m := inCell.FindStringSubmatch(part); m != nil && book != nil {
				require.NoError(t, book.SetCellStr("Sheet1", m[1], m[2]))
			} else if m := outLine.FindStringSubmatch(part); m != nil && book != nil {
				for column := range f.columns {
					require.NoError(t, book.SetCellStr("Sheet1", fmt.Sprintf("%c%d", 'A'+column, number(m[1], one.Line)), ""))
				}
			} else if m := addLine.FindStringSubmatch(part); m != nil {
				lines = append(lines, m[1])
			} else if m := inLine.FindStringSubmatch(part); m != nil {
				lines[number(m[1], one.Line)-1] = m[2]
			} else if m := outLine.FindStringSubmatch(part); m != nil {
				lines[number(m[1], one.Line)-1] = ""
			} else {
				require.Fail(t, "not to be followed", "%s", one.Fix)
			}
		}
	}
	if book != nil {
		require.NoError(t, book.Save())
		return
	}
	require.NoError(t, os.WriteFile(path, []byte(strings.Join(lines, "\n")+"\n"), 0o600))
}

// What a check says to write is right when it is written over the old row as it
// stands there, in whatever form a shop keeps its list, and leaves the row's other
// cells as they were.
func TestAFixIsRightWhenItIsFollowedToTheLetter(t *testing.T) {
	replaced := func(old, by string) func([]string) []string {
		return func(list []string) []string {
			at := slices.Index(list, old)
			list[at] = by
			return list
		}
	}
	slips := map[string]func([]string) []string{
		"two keys exchanged":            replaced("K1,1..61,key,great,C2..C7,CK1,1..61,", "K1,1..30 32 31 33..61,key,great,C2..C7,CK1,1..61,"),
		"two pairs of valves exchanged": replaced("X3,1..40,valve,flute,1..40,CX3,1..40,", "X3,1..5 7 6 8..30 32 31 33..40,valve,flute,1..40,CX3,1..40,"),
		"pins and wires one low":        replaced("X3,41..85,valve,flute,41..85,CX3,41..85,", "X3,40..84,valve,flute,41..85,CX3,40..84,"),
		"a row left out": func(list []string) []string {
			at := slices.Index(list, "S1,9,stop,pedal-bourdon-8,,CS1,9,")
			return slices.Delete(list, at, at+1)
		},
		"a button said twice": replaced("B1,2,button,general-2,,CB1,2,", "B1,2,button,general-1,,CB1,2,"),
		"a coil said twice":   replaced("N1,2,knob-on,great-octave-4,,CN1,2,", "N1,2,knob-on,great-principal-8,,CN1,2,"),
		"two stops exchanged": func(list []string) []string {
			return replaced("S1,2,stop,great-octave-4,,CS1,2,", "S1,2,stop,great-principal-8,,CS1,2,")(
				replaced("S1,1,stop,great-principal-8,,CS1,1,", "S1,1,stop,great-octave-4,,CS1,1,")(list))
		},
	}
	for name, form := range sheetForms {
		t.Run(name, func(t *testing.T) {
			fresh := rightRelays(t)["new"]
			folder := filepath.Dir(fresh.relay)
			relay, err := os.ReadFile(fresh.relay)
			require.NoError(t, err)
			text := strings.Replace(string(relay), "wiring.csv", form.file, 1) + form.shop
			require.NoError(t, os.WriteFile(fresh.relay, []byte(text), 0o600))
			list := slices.DeleteFunc(fresh.read(t)[1:], func(line string) bool { return line == "" || line[0] == '#' })
			flutes := slices.Index(list, "X3,1..85,valve,flute,1..85,CX3,1..85,")
			list = slices.Replace(list, flutes, flutes+1, "X3,1..40,valve,flute,1..40,CX3,1..40,", "X3,41..85,valve,flute,41..85,CX3,41..85,")
			for what, slip := range slips {
				form.write(t, folder, form.rows(slip(slices.Clone(list))))
				c, err := check(fresh.organ, fresh.relay)
				require.NoError(t, err)
				found := errorsOf(c)
				require.NotEmpty(t, found, what)
				form.follow(t, folder, found)
				after, err := check(fresh.organ, fresh.relay)
				require.NoError(t, err)
				require.Empty(t, errorsOf(after), "%s: followed %v", what, found)
				require.Equal(t, proof.Equal, after.proof.Verdict, what)
			}
		})
	}
}
