package combination

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"trundle/console"
	"trundle/console/finding"
)

// Load reads memories for one instrument from a file without holding it: a
// memory file, or a sheet of combinations when its name ends in .csv or .xlsx.
// Findings are what is worth knowing about it, or with no memories what is
// wrong with it.
func Load(path string, in *console.Instrument) (*Memories, []finding.Finding, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, nil, fmt.Errorf("%s: cannot be read: %w", path, cause(err))
	}
	var memories *Memories
	var findings []finding.Finding
	switch extension(path) {
	case ".csv":
		memories, findings = NewMemories(in).ReadCSV(path, data)
	case ".xlsx":
		memories, findings = NewMemories(in).ReadXLSX(path, data)
	default:
		memories, findings = Read(in, path, data)
	}
	return memories, findings, nil
}

// Export writes memories into a file, in the form that its name ends in: .csv,
// .xlsx, or otherwise a memory file. What stood there is replaced, all or
// nothing.
func Export(path string, m *Memories) error {
	var out bytes.Buffer
	var err error
	switch extension(path) {
	case ".csv":
		err = m.WriteCSV(&out)
	case ".xlsx":
		err = m.WriteXLSX(&out)
	default:
		out.Write(m.Text())
	}
	if err == nil {
		err = replace(path, out.Bytes())
	}
	if err != nil {
		return fmt.Errorf("%s: cannot be written: %w", path, cause(err))
	}
	return nil
}

func extension(path string) string { return strings.ToLower(filepath.Ext(path)) }
