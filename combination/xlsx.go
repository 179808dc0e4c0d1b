package combination

import (
	"bytes"
	"fmt"
	"io"

	"github.com/xuri/excelize/v2"

	"trundle/console/finding"
)

// sheetName is the sheet of a workbook that holds the combinations.
const sheetName = "combinations"

// mostUnzipped bounds what a workbook may unpack to, in bytes.
const mostUnzipped = 64 << 20

// WriteXLSX writes the combinations as a workbook of one sheet.
func (m *Memories) WriteXLSX(w io.Writer) error {
	book := excelize.NewFile()
	defer book.Close()
	if err := book.SetSheetName(book.GetSheetName(0), sheetName); err != nil {
		return err
	}
	for r, row := range m.Sheet() {
		for c, text := range row {
			cell, err := excelize.CoordinatesToCellName(c+1, r+1)
			if err != nil {
				return err
			}
			if err := book.SetCellStr(sheetName, cell, text); err != nil {
				return err
			}
		}
	}
	if err := book.SetPanes(sheetName, &excelize.Panes{Freeze: true, XSplit: 2, YSplit: 1, TopLeftCell: "C2", ActivePane: "bottomRight"}); err != nil {
		return err
	}
	return book.Write(w)
}

// ReadXLSX is the memories with the combinations of a workbook's first sheet
// put in the place of what they had there.
func (m *Memories) ReadXLSX(file string, data []byte) (*Memories, []finding.Finding) {
	wrong := func(err error) (*Memories, []finding.Finding) {
		return nil, []finding.Finding{{Rule: finding.NoMeaning, Severity: finding.Error,
			Place: finding.Place{File: file}, Message: fmt.Sprintf("is no workbook that can be read: %v", err)}}
	}
	book, err := excelize.OpenReader(bytes.NewReader(data),
		excelize.Options{UnzipSizeLimit: mostUnzipped, UnzipXMLSizeLimit: mostUnzipped})
	if err != nil {
		return wrong(err)
	}
	defer book.Close()
	name := book.GetSheetName(0)
	cells, err := book.GetRows(name)
	if err != nil {
		return wrong(err)
	}
	var rows []sheetRow
	for i, row := range cells {
		rows = appendRow(rows, i+1, row)
	}
	return m.readSheet(file+"#"+name, rows)
}
