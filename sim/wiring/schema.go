package wiring

import _ "embed"

// Schema is the JSON Schema (2020-12) of a relay file.
//
//go:embed schema/relay.schema.json
var Schema []byte
