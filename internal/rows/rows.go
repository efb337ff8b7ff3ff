// Package rows reads comma separated values and tells where each stands.
package rows

import (
	"encoding/csv"
	"errors"
	"io"
	"strings"
	"unicode/utf8"

	"quiltwright/internal/diag"
)

// Read calls do with every row of src that is not empty and does not begin with #, and with a function that tells where one of its values
// stands; it ends where do returns false. Values are separated by commas, or by semicolons where the first row has those only.
// What cannot be read is an error in found.
func Read(src []byte, found *diag.List, do func(row []string, place func(value int) diag.Pos) bool) {
	if !utf8.Valid(src) {
		found.Errorf(diag.Pos{Line: 1, Column: 1}, "list", "this is not a text in UTF-8").Remedy = "save the list as CSV, not as a spreadsheet"
		return
	}
	text := strings.TrimPrefix(string(src), "\ufeff")
	lines := strings.Split(text, "\n")
	r := csv.NewReader(strings.NewReader(text))
	r.Comment, r.FieldsPerRecord, r.TrimLeadingSpace = '#', -1, true
	if first := first(lines); strings.Contains(first, ";") && !strings.Contains(first, ",") {
		r.Comma = ';'
	}
	pos := func(line, column int) diag.Pos { // the reader counts bytes, people count letters
		if line >= 1 && line <= len(lines) {
			before := lines[line-1]
			column = utf8.RuneCountInString(before[:max(0, min(column-1, len(before)))]) + 1
		}
		return diag.Pos{Line: line, Column: column}
	}
	for {
		row, err := r.Read()
		var bad *csv.ParseError
		switch {
		case errors.Is(err, io.EOF):
			return
		case errors.As(err, &bad):
			found.Errorf(pos(bad.Line, bad.Column), "list", "the line cannot be read: %v", bad.Err).Remedy = "put a value that holds a comma or a quote between double quotes"
			return
		case err != nil:
			found.Errorf(diag.Pos{}, "list", "the list cannot be read: %v", err)
			return
		}
		if strings.TrimSpace(strings.Join(row, "")) == "" {
			continue
		}
		place := func(value int) diag.Pos { return pos(r.FieldPos(max(0, min(value, len(row)-1)))) }
		if !do(row, place) {
			return
		}
	}
}

// first is the first line that is not passed over.
func first(lines []string) string {
	for _, line := range lines {
		if line = strings.TrimSpace(line); line != "" && !strings.HasPrefix(line, "#") {
			return line
		}
	}
	return ""
}
