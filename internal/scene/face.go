package scene

import (
	_ "embed"
	"strings"
	"sync"
	"unicode/utf8"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Font is a role that type plays on the pages. Each role has one static cut.
type Font uint8

// The fonts.
const (
	Body    Font = iota // Alegreya Sans
	Bold                // Alegreya Sans Bold: labels, check sizes
	Italic              // Alegreya Sans Italic: the writer's own notes
	Heading             // Alegreya Medium
	fontCount
)

// Fonts lists every font in order.
var Fonts = []Font{Body, Bold, Italic, Heading}

//go:embed fonts/AlegreyaSans-Regular.ttf
var sansRegular []byte

//go:embed fonts/AlegreyaSans-Bold.ttf
var sansBold []byte

//go:embed fonts/AlegreyaSans-Italic.ttf
var sansItalic []byte

//go:embed fonts/Alegreya-Medium.ttf
var serifMedium []byte

// File returns the TrueType file of a font. The caller must not change it.
func (f Font) File() []byte { return [...][]byte{sansRegular, sansBold, sansItalic, serifMedium}[f] }

// Name returns the PostScript name of a font's cut.
func (f Font) Name() string {
	return [...]string{"AlegreyaSans-Regular", "AlegreyaSans-Bold", "AlegreyaSans-Italic", "Alegreya-Medium"}[f]
}

// Family returns the family, weight and style of a font as style sheets say them.
func (f Font) Family() (family string, weight int, style string) {
	switch f {
	case Bold:
		return "Alegreya Sans", 700, "normal"
	case Italic:
		return "Alegreya Sans", 400, "italic"
	case Heading:
		return "Alegreya", 500, "normal"
	}
	return "Alegreya Sans", 400, "normal"
}

// Glyph is a shape of a font, with the text it stands for and how far it moves the pen.
type Glyph struct {
	ID      uint16
	Text    string // what a reader reads: "a", "7/8", "fi"; a no-break space reads as a space
	Advance int    // in 1/1000 of the size, kerning to the next glyph included
	Plain   int    // the advance in the font's own table
}

// face is a parsed font. Everything in it that is filled in late is under mu.
type face struct {
	font *sfnt.Font
	mu   sync.Mutex
	buf  sfnt.Buffer
	ids  map[rune]uint16
	adv  map[uint16]int
	kern map[[2]uint16]int
	numr [10]uint16
	dnom [10]uint16

	glyphs []Glyph // of the text measured last
}

var faces = func() (fs [fontCount]func() *face) {
	for _, f := range Fonts {
		fs[f] = sync.OnceValue(func() *face { return parse(f.File()) })
	}
	return fs
}()

func parse(file []byte) *face {
	sf, err := sfnt.Parse(file)
	if err != nil {
		panic("scene: a font in the binary does not parse: " + err.Error())
	}
	fc := &face{font: sf, ids: map[rune]uint16{}, adv: map[uint16]int{}, kern: map[[2]uint16]int{}}
	digits := map[string]int{}
	for i, n := range strings.Fields("zero one two three four five six seven eight nine") {
		digits[n] = i
	}
	for i := range sf.NumGlyphs() {
		name, err := sf.GlyphName(&fc.buf, sfnt.GlyphIndex(i))
		if err != nil {
			continue
		}
		if d, ok := strings.CutSuffix(name, ".numr"); ok {
			fc.numr[digits[d]] = uint16(i)
		} else if d, ok := strings.CutSuffix(name, ".dnom"); ok {
			fc.dnom[digits[d]] = uint16(i)
		}
	}
	return fc
}

// em is the scale at which the font's tables are read: both families have 1000 units to the em.
var em = fixed.I(1000)

func (fc *face) id(r rune) uint16 {
	if g, ok := fc.ids[r]; ok {
		return g
	}
	g, err := fc.font.GlyphIndex(&fc.buf, r)
	if err != nil {
		g = 0
	}
	fc.ids[r] = uint16(g)
	return uint16(g)
}

func (fc *face) advance(g uint16) int {
	if a, ok := fc.adv[g]; ok {
		return a
	}
	a, err := fc.font.GlyphAdvance(&fc.buf, sfnt.GlyphIndex(g), em, font.HintingNone)
	if err != nil {
		a = 0
	}
	fc.adv[g] = a.Round()
	return fc.adv[g]
}

func (fc *face) kerning(a, b uint16) int {
	k := [2]uint16{a, b}
	if v, ok := fc.kern[k]; ok {
		return v
	}
	v, err := fc.font.Kern(&fc.buf, sfnt.GlyphIndex(a), sfnt.GlyphIndex(b), em, font.HintingNone)
	if err != nil {
		v = 0
	}
	fc.kern[k] = v.Round()
	return fc.kern[k]
}

var ligatures = map[string]rune{"fi": 'ﬁ', "fl": 'ﬂ'}

var fractions = map[string]rune{
	"1/2": '½', "1/3": '⅓', "2/3": '⅔', "1/4": '¼', "3/4": '¾', "1/8": '⅛', "3/8": '⅜', "5/8": '⅝', "7/8": '⅞',
}

// Shape turns text into glyphs: kerned, fi and fl joined, and every n/d drawn as a fraction, which
// reads back as n/d. A space between a whole number and its fraction is drawn narrow. Of "" none.
// A character that the font has not becomes its empty box.
func Shape(f Font, s string) []Glyph {
	fc := faces[f]()
	fc.mu.Lock()
	defer fc.mu.Unlock()
	return fc.shape(nil, s)
}

// shape appends the glyphs of a text to gs, which is empty.
func (fc *face) shape(gs []Glyph, s string) []Glyph {
	put := func(id uint16, text string) {
		a := fc.advance(id)
		gs = append(gs, Glyph{ID: id, Text: text, Advance: a, Plain: a})
	}
	var narrow map[int]bool
	prev := ' '
	for i := 0; i < len(s); {
		if n, d, l := fraction(s[i:], prev); l > 0 {
			if k := len(gs); k >= 2 && gs[k-1].Text == " " && isDigit(rune(gs[k-2].Text[0])) {
				if narrow == nil {
					narrow = map[int]bool{}
				}
				narrow[k-1] = true
			}
			if r, ok := fractions[n+"/"+d]; ok && fc.id(r) != 0 {
				put(fc.id(r), n+"/"+d)
			} else {
				for _, c := range n {
					put(fc.numr[c-'0'], string(c))
				}
				put(fc.id('⁄'), "/")
				for _, c := range d {
					put(fc.dnom[c-'0'], string(c))
				}
			}
			prev = rune(s[i+l-1])
			i += l
			continue
		}
		if i+2 <= len(s) {
			if r, ok := ligatures[s[i:i+2]]; ok && fc.id(r) != 0 {
				put(fc.id(r), s[i:i+2])
				prev = rune(s[i+1])
				i += 2
				continue
			}
		}
		r, size := utf8.DecodeRuneInString(s[i:])
		i += size
		switch r {
		case '\u00a0', '\n', '\t', '\u202f':
			put(fc.id(' '), " ")
		default:
			put(fc.id(r), string(r))
		}
		prev = r
	}
	for i := range gs {
		switch {
		case narrow[i]:
			gs[i].Advance = gs[i].Advance / 2
		case i+1 < len(gs):
			gs[i].Advance += fc.kerning(gs[i].ID, gs[i+1].ID)
		}
	}
	return gs
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

// fraction reads n/d at the head of s: up to three digits each, not part of a longer run of digits
// and strokes such as a date. l is 0 where there is none.
func fraction(s string, prev rune) (n, d string, l int) {
	if isDigit(prev) || prev == '/' || prev == '.' {
		return "", "", 0
	}
	i := 0
	for i < len(s) && isDigit(rune(s[i])) {
		i++
	}
	if i == 0 || i > 3 || i >= len(s) || s[i] != '/' {
		return "", "", 0
	}
	j := i + 1
	for j < len(s) && isDigit(rune(s[j])) {
		j++
	}
	if j == i+1 || j > i+4 || (j < len(s) && s[j] == '/') {
		return "", "", 0
	}
	return s[:i], s[i+1 : j], j
}

// Width returns the width of text set in one font.
func Width(f Font, size Pt, s string) Pt {
	fc := faces[f]()
	fc.mu.Lock()
	defer fc.mu.Unlock()
	fc.glyphs = fc.shape(fc.glyphs[:0], s)
	t := 0
	for _, g := range fc.glyphs {
		t += g.Advance
	}
	return Pt(t) * size / 1000
}

// Measure returns the width of a line of runs.
func Measure(size Pt, runs []Run) Pt {
	var w Pt
	for _, r := range runs {
		w += Width(r.Font, size, r.Text)
	}
	return w
}

// Width returns the width of the line.
func (t Text) Width() Pt { return Measure(t.Size, t.Runs) }

// Vertical measures shared by every font, as parts of the size: how far capitals and figures rise,
// how far letters rise at most, and how far they hang. They bound what a line of text covers.
const (
	CapHeight = 0.64
	Ascent    = 0.76
	Descent   = 0.24
)

// Break sets runs into lines no wider than width, at spaces. A no-break space, and the space between
// a whole number and its fraction, holds. A word wider than the width stands alone on its line.
// "\n" ends a line. Spaces at a break are dropped. Of no text one empty line.
func Break(size, width Pt, runs []Run) [][]Run {
	var lines [][]Run
	var line []Run
	var x Pt
	add := func(word []Run, w Pt) {
		for _, r := range word {
			if k := len(line); k > 0 && line[k-1].Font == r.Font && line[k-1].Color == r.Color {
				line[k-1].Text += r.Text
			} else {
				line = append(line, r)
			}
		}
		x += w
	}
	end := func() { lines = append(lines, line); line, x = nil, 0 }
	for _, wd := range words(runs) {
		if wd.newline {
			end()
			continue
		}
		w := Measure(size, wd.runs)
		if len(line) > 0 {
			sp := Run{Font: line[len(line)-1].Font, Text: " ", Color: line[len(line)-1].Color}
			sw := Width(sp.Font, size, " ")
			if x+sw+w > width+0.01 {
				end()
			} else {
				add([]Run{sp}, sw)
			}
		}
		add(wd.runs, w)
	}
	end()
	return lines
}

type word struct {
	runs    []Run
	newline bool
}

// words splits runs at the spaces where a line may break. A word may have several runs.
func words(runs []Run) []word {
	var out []word
	var cur []Run
	flush := func() {
		if len(cur) > 0 {
			out = append(out, word{runs: cur})
			cur = nil
		}
	}
	for _, r := range runs {
		from := 0
		cut := func(to int) {
			if to > from {
				cur = append(cur, Run{Font: r.Font, Text: r.Text[from:to], Color: r.Color})
			}
		}
		for i := 0; i < len(r.Text); i++ {
			switch r.Text[i] {
			case '\n':
				cut(i)
				flush()
				out = append(out, word{newline: true})
				from = i + 1
			case ' ':
				if i > 0 && isDigit(rune(r.Text[i-1])) {
					if _, _, l := fraction(r.Text[i+1:], ' '); l > 0 {
						continue
					}
				}
				cut(i)
				flush()
				from = i + 1
			}
		}
		cut(len(r.Text))
	}
	flush()
	return out
}

// Stretch is a stretch of text that is a fraction n/d, or is none.
type Stretch struct {
	Text     string
	Fraction bool
}

// SplitFractions splits text into its fractions and what is between them, none of them empty.
func SplitFractions(s string) []Stretch {
	var out []Stretch
	from, prev := 0, ' '
	for i := 0; i < len(s); {
		if _, _, l := fraction(s[i:], prev); l > 0 {
			if i > from {
				out = append(out, Stretch{Text: s[from:i]})
			}
			out = append(out, Stretch{s[i : i+l], true})
			i += l
			from, prev = i, rune(s[i-1])
			continue
		}
		prev = rune(s[i])
		i++
	}
	if from < len(s) {
		out = append(out, Stretch{Text: s[from:]})
	}
	return out
}
