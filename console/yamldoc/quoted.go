package yamldoc

import (
	"regexp"
	"strconv"
)

// plain is text that means itself in YAML wherever it stands.
var plain = regexp.MustCompile(`^[A-Za-z0-9]([A-Za-z0-9 ./'-]*[A-Za-z0-9./'-])?$`)

// notText are plain words that YAML reads as something else than text.
var notText = regexp.MustCompile(`(?i)^(null|true|false|yes|no|on|off|y|n)$`)

// Quoted is text as a file writes it, in quotes where it would mean something
// else without.
func Quoted(text string) string {
	if plain.MatchString(text) && !notText.MatchString(text) {
		return text
	}
	return strconv.Quote(text)
}
