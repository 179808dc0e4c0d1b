package combination

import (
	"fmt"
	"strconv"
	"strings"

	"trundle/console"
	"trundle/console/finding"
)

// Combinations as a sheet: a row each, with its memory and button, and a
// column for every control, where `on` draws it, `off` pushes it in and
// nothing leaves it alone. Tutti, crescendo, reversibles and locks are not on
// it, and stay as they are when one is read.

const (
	memoryColumn = "memory"
	buttonColumn = "button"
)

// Sheet is the combinations as a sheet, its header first.
func (m *Memories) Sheet() [][]string {
	header := []string{memoryColumn, buttonColumn}
	column := map[string]int{}
	add := func(id string) {
		if _, known := column[id]; !known {
			column[id] = len(header)
			header = append(header, id)
		}
	}
	for _, control := range m.in.Controls {
		add(control.ID)
	}
	type row struct {
		memory  int
		button  string
		on, off []string
	}
	var list []row
	for _, s := range m.Set() {
		on, off := m.Controls(m.sets[s])
		list = append(list, row{s.Memory, m.in.Combination.Buttons[s.Button].ID, on, off})
	}
	for _, s := range m.strange {
		on, off := m.Controls(s.set)
		list = append(list, row{s.memory, s.button, on, off})
	}
	for _, r := range list {
		for _, id := range append(r.on, r.off...) {
			add(id)
		}
	}
	sheet := [][]string{header}
	for _, r := range list {
		cells := make([]string, len(header))
		cells[0], cells[1] = strconv.Itoa(r.memory), r.button
		for _, id := range r.on {
			cells[column[id]] = "on"
		}
		for _, id := range r.off {
			cells[column[id]] = "off"
		}
		sheet = append(sheet, cells)
	}
	return sheet
}

// sheetRow is a row that was read, and its line in the file.
type sheetRow struct {
	line  int
	cells []string
}

// readSheet is the memories with every combination on a sheet put in the
// place of what they had there. On an error finding there are none.
func (m *Memories) readSheet(file string, rows []sheetRow) (*Memories, []finding.Finding) {
	r := &sheetReader{file: file, ids: idsOf(m.in), m: m.clone(), seen: map[string]int{}}
	if len(rows) == 0 {
		r.wrong(1, finding.Error, finding.NoMeaning, "is empty; its first row names the columns", "")
		return nil, r.findings
	}
	r.header(rows[0])
	for _, row := range rows[1:] {
		r.row(row)
	}
	finding.Sort(r.findings)
	if finding.Count(r.findings, finding.Error) > 0 {
		return nil, r.findings
	}
	return r.m, r.findings
}

type sheetReader struct {
	file string
	ids
	m              *Memories
	columns        []string
	memory, button int
	seen           map[string]int // line by memory and button
	findings       []finding.Finding
}

func (r *sheetReader) wrong(line int, severity finding.Severity, rule, message, fix string) {
	r.findings = append(r.findings, finding.Finding{Rule: rule, Severity: severity,
		Place: finding.Place{File: r.file, Line: line}, Message: message, Fix: fix})
}

func (r *sheetReader) header(row sheetRow) {
	r.columns, r.memory, r.button = row.cells, console.None, console.None
	seen := map[string]bool{}
	for i, name := range row.cells {
		switch {
		case name == "":
			r.wrong(row.line, finding.Error, finding.NoMeaning, fmt.Sprintf("column %d has no name", i+1), "name its control")
		case seen[name]:
			r.wrong(row.line, finding.Error, finding.DuplicateID, fmt.Sprintf("column %s stands here a second time", name), "take one away")
		case name == memoryColumn:
			r.memory = i
		case name == buttonColumn:
			r.button = i
		default:
			if _, known := r.controls[name]; !known {
				r.wrong(row.line, finding.Warning, StrangeID, "the instrument has no control "+name, "it is kept as it stands")
			}
		}
		seen[name] = true
	}
	if r.memory == console.None || r.button == console.None {
		r.wrong(row.line, finding.Error, finding.NoMeaning, "the columns memory and button are missing, or one of them", "name the columns in the first row")
	}
}

func (r *sheetReader) row(row sheetRow) {
	if r.memory == console.None || r.button == console.None {
		return
	}
	if len(row.cells) > len(r.columns) {
		r.wrong(row.line, finding.Error, finding.NoMeaning, fmt.Sprintf("%d cells under %d columns", len(row.cells), len(r.columns)), "")
		return
	}
	cell := func(i int) string {
		if i < len(row.cells) {
			return row.cells[i]
		}
		return ""
	}
	memory, err := strconv.Atoi(cell(r.memory))
	if err != nil || memory < 1 || memory > mostNumber {
		r.wrong(row.line, finding.Error, finding.NoMeaning, fmt.Sprintf("a memory is a number from 1 to %d, not %q", mostNumber, cell(r.memory)), "")
		return
	}
	button := cell(r.button)
	if button == "" {
		r.wrong(row.line, finding.Error, finding.NoMeaning, "a row without a button", "name it")
		return
	}
	key := strconv.Itoa(memory) + "/" + button
	if first, twice := r.seen[key]; twice {
		r.wrong(row.line, finding.Error, finding.DuplicateID, fmt.Sprintf("%s stands in line %d too", key, first), "take one away")
		return
	}
	r.seen[key] = row.line
	set := &Combination{}
	for i, id := range r.columns {
		if i != r.memory && i != r.button {
			r.cell(set, row.line, id, cell(i))
		}
	}
	r.put(row.line, memory, button, set)
}

func (r *sheetReader) cell(set *Combination, line int, id, text string) {
	c, known := r.controls[id]
	switch state := strings.ToLower(text); {
	case state == "":
	case state == "on" && known:
		set.On = append(set.On, c)
	case state == "off" && known:
		set.Off = append(set.Off, c)
	case state == "on":
		set.StrangeOn = append(set.StrangeOn, id)
	case state == "off":
		set.StrangeOff = append(set.StrangeOff, id)
	default:
		r.wrong(line, finding.Error, finding.NoMeaning, fmt.Sprintf("%s is on, off or nothing, not %q", id, text), "")
	}
}

// put sets a combination, of a button that the instrument has or another.
func (r *sheetReader) put(line, memory int, button string, set *Combination) {
	sortControls(set)
	if b, known := r.buttons[button]; known {
		r.m = r.m.with(console.Slot{Memory: memory, Button: b}, set)
		return
	}
	r.wrong(line, finding.Warning, StrangeID, "the instrument has no button "+button, "it is kept as it stands")
	r.m.strange = append(withoutStrange(r.m.strange, memory, button), strangeSet{memory, button, set})
}
