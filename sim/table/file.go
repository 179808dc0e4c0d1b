package table

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"unicode/utf16"
	"unicode/utf8"

	"trundle/console/finding"
)

// MaxBytes is the size of the largest file that is read.
const MaxBytes = 64 << 20

// Read reads the CSV file at path, or a sheet of a workbook: pins.xlsx,
// pins.xlsx#Sheet1. The table is nil when there is nothing to read at all.
func Read(path string, want []Column) (*Table, []finding.Finding) {
	book, sheet, isBook := workbook(path)
	if isBook {
		path = book
	}
	data, message, fix := load(path)
	switch {
	case message == "" && isBook:
		return ParseXLSX(path, sheet, data, want)
	case message == "":
		return decodeAndParse(path, data, want)
	}
	return nil, []finding.Finding{{Rule: finding.NoMeaning, Severity: finding.Error,
		Place: finding.Place{File: path}, Message: message, Fix: fix}}
}

func load(path string) (data []byte, message, fix string) {
	f, err := os.Open(path)
	if err != nil {
		return nil, "cannot be read: " + reason(err), "check its name and whether you may read it"
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, "is a directory, not a table", "name a CSV file in it"
	}
	data, err = io.ReadAll(io.LimitReader(f, MaxBytes+1))
	switch {
	case err != nil:
		return nil, "cannot be read: " + reason(err), "check its name and whether you may read it"
	case len(data) > MaxBytes:
		return nil, "is larger than 64 MB", "divide it into several files"
	}
	return data, "", ""
}

// reason is what the system said, without the path that the place gives already.
func reason(err error) string {
	var at *fs.PathError
	if errors.As(err, &at) {
		err = at.Err
	}
	return err.Error()
}

func decodeAndParse(file string, data []byte, want []Column) (*Table, []finding.Finding) {
	text := decode(data)
	if line, column, what := unreadable(text); what != "" {
		return nil, []finding.Finding{{Rule: finding.NoMeaning, Severity: finding.Error,
			Place: finding.Place{File: file, Line: line, Column: column}, Message: what + ", so this is no table in text",
			Fix: "save the sheet as CSV in UTF-8"}}
	}
	return Parse(file, text, want)
}

// decode takes off a byte-order mark, and reads UTF-16 where it says so.
func decode(data []byte) string {
	switch {
	case len(data) >= 3 && string(data[:3]) == "\xef\xbb\xbf":
		return string(data[3:])
	case len(data) >= 2 && string(data[:2]) == "\xff\xfe":
		return decodeUTF16(data[2:], binary.LittleEndian)
	case len(data) >= 2 && string(data[:2]) == "\xfe\xff":
		return decodeUTF16(data[2:], binary.BigEndian)
	}
	return string(data)
}

// decodeUTF16 reads UTF-16; an odd last byte becomes a byte that is no text.
func decodeUTF16(data []byte, order binary.ByteOrder) string {
	units := make([]uint16, len(data)/2)
	for i := range units {
		units[i] = order.Uint16(data[2*i:])
	}
	text := string(utf16.Decode(units))
	if len(data)%2 == 1 {
		text += "\xff"
	}
	return text
}

// unreadable is where the first character stands that no text has, and what
// it is; "" without one.
func unreadable(text string) (line, column int, what string) {
	line, column = 1, 1
	for i, r := range text {
		switch {
		case r == '\n':
			line, column = line+1, 0
		case r < ' ' && r != '\t' && r != '\r', 0x7f <= r && r < 0xa0:
			return line, column, fmt.Sprintf("the control character U+%04X stands here", r)
		case r == utf8.RuneError:
			if _, size := utf8.DecodeRuneInString(text[i:]); size == 1 {
				return line, column, "a byte stands here that is no UTF-8"
			}
		}
		column++
	}
	return 0, 0, ""
}
