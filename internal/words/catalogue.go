package words

import (
	_ "embed"
	"fmt"
	"maps"
	"regexp"
	"sort"
	"strings"
)

//go:embed en.txt
var english string

// catalogue holds the sentences of one language: key -> template. A template has named slots in
// braces. Nouns stand under "noun.NAME" as "one | many", brief forms under "KEY/brief".
type catalogue map[string]string

// readCatalogue reads "key = template" lines; empty lines and lines that begin with # are skipped.
// A line that is neither, and a key given twice, are errors with the line number.
func readCatalogue(src string) (catalogue, error) {
	c := catalogue{}
	for i, line := range strings.Split(src, "\n") {
		line = strings.TrimSpace(line)
		if line == "" || line[0] == '#' {
			continue
		}
		key, template, found := strings.Cut(line, "=")
		key, template = strings.TrimSpace(key), strings.TrimSpace(template)
		if !found || key == "" || template == "" {
			return nil, fmt.Errorf("catalogue line %d: want “key = sentence”, got “%s”", i+1, line)
		}
		if _, twice := c[key]; twice {
			return nil, fmt.Errorf("catalogue line %d: key “%s” is given twice", i+1, key)
		}
		c[key] = template
	}
	return c, nil
}

var slotPattern = regexp.MustCompile(`\{([a-z]+)\}`)

// brief is the catalogue for those who sew a lot: what stands under KEY/brief is said for KEY.
func (c catalogue) brief() catalogue {
	out := maps.Clone(c)
	for key, template := range c {
		if long, is := strings.CutSuffix(key, "/brief"); is {
			out[long] = template
		}
	}
	return out
}

// say fills the template of a key. slots alternate name and value; a value is printed with %v.
// A key that the catalogue lacks, a slot left empty and a value without a slot are mistakes in this
// package, not in the plan: they panic, and the tests reach every key.
func (c catalogue) say(key string, slots ...any) string {
	template, ok := c[key]
	if !ok {
		panic("words: the catalogue has no “" + key + "”")
	}
	used := 0
	out := slotPattern.ReplaceAllStringFunc(template, func(slot string) string {
		for i := 0; i+1 < len(slots); i += 2 {
			if slots[i] == slot[1:len(slot)-1] {
				used++
				return fmt.Sprint(slots[i+1])
			}
		}
		panic("words: “" + key + "” leaves " + slot + " empty")
	})
	if used < len(slots)/2 {
		panic("words: “" + key + "” has no slot for one of its values")
	}
	return out
}

// noun is the word for n things, without the number. A word the catalogue lacks is used as it
// stands, with an s for several: a kind may be a shape's name.
func (c catalogue) noun(n int, word string) string {
	one, many, found := strings.Cut(c["noun."+word], "|")
	if !found {
		if n == 1 {
			return word
		}
		return word + "s"
	}
	if n == 1 {
		return strings.TrimSpace(one)
	}
	return strings.TrimSpace(many)
}

// keys are the catalogue's keys in order.
func (c catalogue) keys() []string {
	var keys []string
	for key := range c {
		keys = append(keys, key)
	}
	sort.Strings(keys)
	return keys
}
