// Package docs hands out what of the documentation the program prints.
package docs

import _ "embed"

// Schema is the JSON Schema of a quilt document.
//
//go:embed quilt.schema.json
var Schema string
