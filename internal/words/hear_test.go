package words

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"quiltwright/internal/measure"
)

// listener is the inverse of the catalogue: it reads a sentence back by trying every template as a pattern. What a slot may hold is known
// by its name; references are looked up among the names of what is at hand, so that two things of one name are heard as none.
type listener struct {
	in    catalogue
	all   []string            // its keys
	keys  []string            // of sentences
	named map[string][]string // by what it may be called: the ids of what is at hand
	made  map[string][]string // likewise, of what is being made
}

// heard is what a sentence means: which template, and what its slots hold.
type heard struct {
	key   string
	slots map[string]value
}

// value is what a slot holds, as far as its kind asks.
type value struct {
	text string
	n    float64    // a number or a length
	box  [2]float64 // a size
	ref  ref
	word string // a key of the catalogue: the side, the way, the noun
	list []value
	said *heard // another sentence
}

// ref is what a sentence calls a part: "each **A3**", "two half squares", "the other half".
type ref struct {
	how string // the key of the catalogue for "each", "many", ...; "" for the name alone
	n   int
	id  string
	way string // "way.first" or "way.second" where it says which
}

// sections reads which keys stand under a heading of the catalogue that begins so; brief forms are left out.
func sections(heading string) []string {
	var keys []string
	under := false
	for _, line := range strings.Split(english, "\n") {
		if strings.HasPrefix(line, "#") {
			under = strings.HasPrefix(line, "# "+heading)
		} else if key, _, is := strings.Cut(line, " = "); is && under && !strings.HasSuffix(key, "/brief") {
			keys = append(keys, key)
		}
	}
	return keys
}

// listen is a listener to sentences of steps: those that end with a stop. It is told the names of what is at hand and of what is made.
func listen(in catalogue, hand, made map[string]string) *listener {
	l := &listener{in: in, all: in.keys(), named: called(hand), made: called(made)}
	for _, key := range sections("Steps") {
		if strings.HasSuffix(in[key], ".") {
			l.keys = append(l.keys, key)
		}
	}
	return l
}

// called is what may be meant by a name: by the whole of it, or by what it begins with, as "row 1" is "row 1 of Churn Dash" where no
// other row 1 is at hand, or without the size that it may begin with.
func called(names map[string]string) map[string][]string {
	out := map[string][]string{}
	for id, name := range names {
		out[name] = append(out[name], id)
		if name[0] >= '0' && name[0] <= '9' {
			for _, unit := range []string{"in ", "cm "} {
				if _, rest, is := strings.Cut(name, unit); is {
					name = rest
				}
			}
		}
		for i := 0; i <= len(name); i++ {
			if i == len(name) || name[i] == ' ' || name[i] == ',' {
				if s := name[:i]; !slices.Contains(out[s], id) {
					out[s] = append(out[s], id)
				}
			}
		}
	}
	return out
}

// sentences takes a text of several sentences apart in every way in which all of them are heard.
func (l *listener) sentences(text string) [][]heard {
	var ways [][]heard
	for end := 0; end < len(text); end++ {
		if text[end] != '.' || end+1 < len(text) && text[end+1] != ' ' {
			continue
		}
		first := l.hear(text[:end+1], l.keys...)
		if len(first) == 0 {
			continue
		}
		rest := [][]heard{nil}
		if end+2 < len(text) {
			rest = l.sentences(text[end+2:])
		}
		for _, h := range first {
			for _, r := range rest {
				ways = append(ways, append([]heard{h}, r...))
			}
		}
	}
	return ways
}

// hear is every meaning that a text can have by the templates of these keys.
func (l *listener) hear(text string, keys ...string) []heard {
	var out []heard
	for _, key := range keys {
		for _, slots := range l.match(key, l.in[key], text) {
			if h := (heard{key, slots}); !slices.ContainsFunc(out, func(o heard) bool { return fmt.Sprint(o) == fmt.Sprint(h) }) {
				out = append(out, h)
			}
		}
	}
	return out
}

// match fills a template's slots from a text, in every way.
func (l *listener) match(key, template, text string) []map[string]value {
	at := slotPattern.FindStringSubmatchIndex(template)
	if at == nil {
		if template == text {
			return []map[string]value{{}}
		}
		return nil
	}
	if !strings.HasPrefix(text, template[:at[0]]) {
		return nil
	}
	slot, after := template[at[2]:at[3]], template[at[1]:]
	text = text[at[0]:]
	next := after
	if i := strings.IndexByte(after, '{'); i >= 0 {
		next = after[:i]
	}
	var out []map[string]value
	for end := 1; end <= len(text); end++ {
		if !strings.HasPrefix(text[end:], next) || next == "" && after == "" && end < len(text) {
			continue
		}
		vs := l.values(key, slot, text[:end])
		if len(vs) == 0 {
			continue
		}
		for _, rest := range l.match(key, after, text[end:]) {
			for _, v := range vs {
				if same, twice := rest[slot]; twice && same.text != v.text {
					continue
				}
				m := map[string]value{slot: v}
				for k, r := range rest {
					m[k] = r
				}
				out = append(out, m)
			}
		}
	}
	return out
}

// values is what a slot of this name can mean by a text; none where it can hold no such text.
func (l *listener) values(key, slot, text string) []value {
	one := func(v value, ok bool) []value {
		if v.text = text; ok {
			return []value{v}
		}
		return nil
	}
	switch slot {
	case "side", "height":
		if strings.HasPrefix(key, "cut.") {
			return one(l.length(text))
		}
		return l.words("side.", text)
	case "marks":
		if l.in["marks.one"] == text {
			return one(value{n: 1}, true)
		}
		for _, h := range l.hear(text, "marks.all") {
			return one(value{n: h.slots["count"].n}, true)
		}
		return nil
	case "back":
		return l.words("way.", text)
	case "end", "way", "corner":
		if key == "do.back" {
			return l.words("do.back.", text)
		}
		if slot == "way" && key == "way.part" {
			return l.words("way.", text)
		}
		return l.words(slot+".", text)
	case "seams", "points":
		return l.words(slot+".", text)
	case "offset", "distance", "every", "length", "more", "past", "width", "panel", "seam", "ease", "apart":
		if slot == "past" {
			if vs := l.hear(text, "about"); len(vs) == 1 {
				return []value{vs[0].slots["length"]}
			}
			return nil
		}
		return one(l.length(text))
	case "size":
		return one(l.size(text))
	case "count", "times", "rows", "columns", "first", "last", "yields", "from", "number", "angle":
		n, err := strconv.Atoi(text)
		for i := 2; err != nil && i <= 10; i++ {
			if l.in["number."+strconv.Itoa(i)] == text {
				n, err = i, nil
			}
		}
		return one(value{n: float64(n)}, err == nil)
	case "noun", "line", "lines", "triangles":
		for _, k := range l.all {
			if name, is := strings.CutPrefix(k, "noun."); is && (l.in.noun(1, name) == text || l.in.noun(2, name) == text) {
				return one(value{word: name}, true)
			}
		}
		return nil
	case "label":
		return one(value{ref: ref{id: strings.Trim(text, "*")}}, strings.HasPrefix(text, labelMark))
	case "layers":
		return l.lists(text, func(s string) []value { return append(l.words("backing", s), l.words("batting", s)...) })
	case "corners":
		return l.lists(text, func(s string) []value { return l.words("corner.", s) })
	case "turns":
		return l.lists(text, func(s string) []value {
			out := append(l.words("turn.open", s), l.words("way.", s)...)
			for _, h := range l.hear(s, "turn.spin", "turn.spins") {
				out = append(out, value{text: s, said: &h})
			}
			for _, h := range l.hear(s, "turn.toward") {
				out = append(out, h.slots["target"])
			}
			return out
		})
	case "sew": // a sentence on a seam without its stop
		var out []value
		for _, h := range l.hear(text+".", l.keys...) {
			if strings.HasPrefix(h.key, "join.") && h.slots["sew"].said == nil {
				out = append(out, value{text: text, said: &h})
			}
		}
		return out
	case "list", "parts":
		return l.lists(text, l.refs)
	case "laid", "under", "target", "one", "other", "thing":
		made := (&listener{in: l.in, all: l.all, named: l.made}).refs(text)
		switch key {
		case "note.hands", "note.surplus.of", "press.hand", "press.hand.open":
			if slot == "target" {
				break
			}
			for name, ids := range l.made { // "no. 2" of what is made
				if strings.HasSuffix(name, " "+text) && len(ids) == 1 {
					made = append(made, value{text: text, ref: ref{id: ids[0]}})
				}
			}
			return made
		case "trim.even":
			return made
		case "trim.mitre", "trim.mitre.own":
			return append(made, l.refs(text)...)
		}
		return l.refs(text)
	}
	panic("the listener does not know what the slot {" + slot + "} of “" + key + "” can hold")
}

// words are the keys with the prefix that say just this.
func (l *listener) words(prefix, text string) []value {
	var out []value
	for _, key := range l.all {
		if strings.HasPrefix(key, prefix) && !strings.HasSuffix(key, "/brief") && l.in[key] == text {
			word := strings.TrimPrefix(key, prefix)
			if word == "" {
				word = key
			}
			out = append(out, value{text: text, word: word})
		}
	}
	return out
}

func (l *listener) length(text string) (value, bool) {
	text = strings.ReplaceAll(text, "\u00a0", " ")
	for _, unit := range []string{" in", " cm"} {
		if s, is := strings.CutSuffix(text, unit); is {
			n, err := measure.Parse(s)
			return value{n: n.Float()}, err == nil
		}
	}
	return value{}, false
}

func (l *listener) size(text string) (value, bool) {
	for _, h := range []string{"size.square", "size.by"} {
		template := l.in[h]
		if side, is := strings.CutSuffix(text, strings.TrimPrefix(template, "{side}")); is && h == "size.square" {
			v, ok := l.length(side)
			return value{box: [2]float64{v.n, v.n}}, ok
		}
		if w, rest, is := strings.Cut(text, " × "); is {
			a, err := measure.Parse(w)
			b, ok := l.length(rest)
			return value{box: [2]float64{a.Float(), b.n}}, err == nil && ok
		}
	}
	return value{}, false
}

// lists takes "a, b and c" apart, in every way in which each item is heard. Names may have commas of their own.
func (l *listener) lists(text string, item func(string) []value) []value {
	var split func(text string) [][]value
	split = func(text string) [][]value {
		var out [][]value
		for _, v := range item(text) {
			out = append(out, []value{v})
		}
		for _, comma := range []string{", ", " " + l.in["and"] + " "} {
			for i := 0; i < len(text); i++ {
				if !strings.HasPrefix(text[i:], comma) {
					continue
				}
				for _, v := range item(text[:i]) {
					for _, rest := range split(text[i+len(comma):]) {
						out = append(out, append([]value{v}, rest...))
					}
				}
			}
		}
		return out
	}
	var out []value
	for _, vs := range split(text) {
		out = append(out, value{text: text, list: vs})
	}
	return out
}

// refs is what a reference can mean.
func (l *listener) refs(text string) []value {
	var out []value
	for _, key := range []string{"the other half", "the other part", "the joined parts", "each half", "each part", "the pieced side"} {
		if l.in[key] == text {
			out = append(out, value{text: text, ref: ref{how: key}})
		}
	}
	name := func(s string) string {
		if l.named[s] == nil && s != "" { // a capital that begins a sentence
			s = strings.ToLower(s[:1]) + s[1:]
		}
		if the := strings.TrimSuffix(l.in["the"], "{thing}"); l.named[s] == nil {
			s = strings.TrimPrefix(s, the)
		}
		if ids := l.named[s]; len(ids) == 1 {
			return ids[0]
		}
		return ""
	}
	if id := name(text); id != "" {
		out = append(out, value{text: text, ref: ref{id: id}})
	}
	for _, key := range []string{"each", "the parts with", "way.part"} {
		template := l.in[key]
		for _, way := range []string{"way.first", "way.second"} {
			s := strings.ReplaceAll(template, "{way}", l.in[way])
			before, after, _ := strings.Cut(s, "{thing}")
			if strings.HasPrefix(text, before) && strings.HasSuffix(text, after) && len(text) > len(s)-len("{thing}") {
				r := ref{how: key, id: name(text[len(before) : len(text)-len(after)])}
				if key == "way.part" {
					r.how, r.way = "", way
				}
				if v := (value{text: text, ref: r}); r.id != "" && !slices.ContainsFunc(out, func(o value) bool { return o.ref == r }) {
					out = append(out, v)
				}
			}
		}
	}
	// "one half square": a thing by its noun alone; "two half squares", "two of row 1", "two Ferry Light blocks".
	if first, rest, is := strings.Cut(text, " "); is {
		if strings.HasPrefix(l.in["one of them"], first+" ") {
			if id := name(rest); id != "" || len(l.values("", "noun", rest)) == 1 {
				out = append(out, value{text: text, ref: ref{how: "one of them", id: id}})
			}
		}
		if n := l.values("", "count", first); len(n) == 1 {
			tries := []string{rest, strings.TrimPrefix(rest, "of ")}
			for key := range l.in {
				noun, is := strings.CutPrefix(key, "noun.")
				if many := l.in.noun(2, noun); is && strings.HasPrefix(rest, many) {
					tries = append(tries, l.in.noun(1, noun)+strings.TrimPrefix(rest, many))
				} else if is && strings.HasSuffix(rest, " "+many) {
					tries = append(tries, strings.TrimSuffix(rest, " "+many))
				}
			}
			tries = append(tries, strings.TrimSuffix(rest, "s"), strings.TrimSuffix(rest, " units"))
			ids := map[string]bool{}
			for _, s := range tries {
				if id := name(s); id != "" && !ids[id] {
					ids[id] = true
					out = append(out, value{text: text, ref: ref{how: "many", n: int(n[0].n), id: id}})
				}
			}
		}
	}
	return out
}

// onPaper is how far a printed measure may be from the plan's: half of a thirty-second of an inch, or of half a millimetre.
const onPaper = 1.0/64 + 1e-9

func nearly(a, b float64) bool { return math.Abs(a-b) <= onPaper }

// alike says whether two sizes are one, either way round.
func alike(a, b [2]float64) bool {
	return nearly(a[0], b[0]) && nearly(a[1], b[1]) || nearly(a[0], b[1]) && nearly(a[1], b[0])
}
