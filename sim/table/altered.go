package table

import "regexp"

// What a spreadsheet makes of a cell that it takes for something else.
var (
	aDate   = regexp.MustCompile(`(?i)^(\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}\b.*|\d{1,2}[-. /]*` + months + `[-. /]*\d{0,4}|` + months + `[-. /]*\d{1,4})$`)
	aNumber = regexp.MustCompile(`(?i)^(.*[^.\d])?\d+([.,]\d+)?e\+?\d+$|^(.*[^.\d]|.*\.\.)?\d+[.,]\d+$`)
)

const months = `(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*`

// Altered is what to do about a text that a spreadsheet has probably changed,
// as it makes a date of 3-14 and 13.0 of 13; "" for another text. A text of one
// of these forms may be meant all the same: ask only where it has no meaning.
func Altered(text string) string {
	const again = "; format the column as text, and type it again"
	switch {
	case aDate.MatchString(text):
		return "a spreadsheet has probably made a date of what was typed" + again
	case aNumber.MatchString(text):
		return "a spreadsheet has probably made a decimal number of what was typed" + again
	}
	return ""
}
