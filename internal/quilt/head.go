package quilt

import (
	"fmt"
	"path"
	"slices"
	"strconv"
	"strings"
	"time"

	"quiltwright/internal/diag"
	"quiltwright/internal/exact"
	"quiltwright/internal/measure"
)

// document reads the whole file; root is nil where it could not be parsed, then only the defaults are filled in.
func (r *reader) document(root *node) {
	d := r.doc
	f := r.fields(root, "a quilt document", "format", "quilt", "designer", "version", "date", "rights", "contact", "note", "measure", "seam",
		"ruler", "width", "prewash", "fabrics", "palettes", "blocks", "set", "finish", "make", "months")
	if f.has("format") {
		if s, ok := r.scalar(f.get("format"), "format"); ok && s != "1" {
			r.errorf(f.by["format"].at, "bad-value", "format “%s” is not known", shorten(s)).Remedy = "this is format: 1"
		}
	}
	if n := f.required("quilt", "quilt: Lantern Row"); n != nil {
		if d.Title, _ = r.text(n, "the title", maxName); d.Title == "" && n.kind == scalar && n.text == "" {
			r.errorf(n.at, "missing", "the quilt's title is empty")
		}
	}
	d.Designer, d.Version, d.Rights, d.Contact = f.line("designer"), f.line("version"), f.line("rights"), f.line("contact")
	d.Date = r.date(f.get("date"), "date")
	d.Note = f.note()
	if f.choice("measure", "inch", "cm") == "cm" {
		d.Measure = measure.Centimetre
	}
	d.Seam = f.length("seam", r.pick(exact.Frac(1, 4), exact.Frac(3, 4)))
	d.Ruler = f.length("ruler", r.pick(exact.Frac(1, 8), exact.Frac(1, 10)))
	d.Width = f.length("width", r.pick(exact.Int(40), exact.Int(100)))
	r.least(f, "seam", d.Seam, r.pick(exact.Frac(1, 8), exact.Frac(3, 10)))
	r.most(f, "seam", d.Seam, r.pick(exact.Int(1), exact.Frac(5, 2)))
	r.most(f, "ruler", d.Ruler, r.pick(exact.Int(1), exact.Frac(5, 2)))
	d.Shrink = r.prewash(f.get("prewash"))
	r.fabrics(f.required("fabrics", "fabrics: {A: {name: Fog, color: \"#e8e3d6\"}}"))
	r.palettes(f.get("palettes"))
	d.Make = r.make(f.get("make"), false)
	r.blocks(f.required("blocks", "blocks: {Paper Lantern: {size: 12, grid: 6, lines: [\"0,2 6,2\"], ground: A}}"))
	r.hasSet = f.has("set")
	d.Set = r.set(f.get("set"))
	d.Finish = r.finish(f.get("finish"))
	before := r.found.Count(diag.Error)
	d.Months = r.months(f.get("months"))
	r.check(r.found.Count(diag.Error) == before)
}

// least reports a length that is far below what it is for, such as one in another measure. Zero was reported before.
func (r *reader) least(f fields, key string, x, least exact.Num) {
	if f.has(key) && x.Sign() > 0 && x.Less(least) {
		r.errorf(f.by[key].at, "limit", "%s is %s; at least %s makes sense", key, f.get(key).text, measure.Format(least.Float(), r.doc.Measure))
	}
}

// most reports a length that is far beyond what it is for.
func (r *reader) most(f fields, key string, x, most exact.Num) {
	if f.has(key) && most.Less(x) {
		r.errorf(f.by[key].at, "limit", "%s is %s; at most %s makes sense", key, f.get(key).text, measure.Format(most.Float(), r.doc.Measure))
	}
}

// date reads a day that exists, as YYYY-MM-DD; "" where there is none.
func (r *reader) date(n *node, what string) string {
	s, ok := r.scalar(n, what)
	if !ok {
		return ""
	}
	if _, err := time.Parse(time.DateOnly, s); err != nil {
		bad := r.errorf(n.at, "bad-value", "%s “%s” is not a date", what, shorten(s))
		bad.Remedy = "write year, month and day: 2027-01-08"
		if len(s) == len("2027-01-08") && strings.Count(s, "-") == 2 && s[4] == '-' {
			bad.Says = fmt.Sprintf("%s “%s” is no day of the calendar", what, shorten(s))
		}
		return ""
	}
	return s
}

// prewash reads false, or {shrink: 3%}; the part of its length that cloth loses.
func (r *reader) prewash(n *node) exact.Num {
	if n == nil {
		return exact.Num{}
	}
	if n.kind == scalar {
		if n.text != "false" {
			r.errorf(n.at, "bad-value", "prewash cannot be “%s”", shorten(n.text)).Remedy = "write how much the cloth shrinks: {shrink: 3%}, or false"
		}
		return exact.Num{}
	}
	f := r.fields(n, "prewash", "shrink")
	shrink, _ := r.percent(f.required("shrink", "prewash: {shrink: 3%}"), "shrink", 20)
	return shrink
}

// palette colours the fabrics that have none, in turn.
var palette = []string{"#e8e3d6", "#45505c", "#c8502b", "#d9a441", "#5f7f5a", "#7a4a6d", "#2f6690", "#b7c4cf", "#8c5a3c", "#f2c9b8"}

func (r *reader) fabrics(n *node) {
	if n == nil {
		return
	}
	if n.kind != mapping {
		r.errorf(n.at, "wrong-type", "fabrics is a mapping from letters to fabrics, not %s", r.describe(n)).Remedy =
			"for example  A: {name: Fog, color: \"#e8e3d6\"}"
		return
	}
	if len(n.entries) == 0 {
		r.errorf(n.at, "missing", "there are no fabrics")
	}
	for _, e := range n.entries {
		letters := e.key.text
		if !isLetters(letters) {
			bad := r.errorf(e.key.at, "bad-value", "“%s” cannot stand for a fabric", shorten(letters))
			bad.Remedy = "fabrics are named by one or two capital letters"
			if up := strings.ToUpper(letters); isLetters(up) {
				bad.Remedy += ": " + up
			}
			continue
		}
		r.doc.Fabrics = append(r.doc.Fabrics, r.oneFabric(e, len(r.doc.Fabrics)))
	}
}

// oneFabric reads a fabric; nth counts those before it.
func (r *reader) oneFabric(e entry, nth int) Fabric {
	c := Fabric{At: e.key.at, Letter: e.key.text}
	var n *node
	if e.value.kind != nothing {
		n = e.value
	}
	f := r.fields(n, "fabric "+c.Letter, "name", "color", "value", "swatch", "shows", "width", "print", "upright", "sold", "have", "assorted", "motif")
	if c.Name = f.line("name"); c.Name == "" {
		c.Name = "Fabric " + c.Letter
	}
	c.Color = r.color(f, palette[nth%len(palette)])
	c.Value = Value(f.choice("value", string(Light), string(Medium), string(Dark)))
	if c.Value == "" {
		c.Value = valueOf(c.Color)
	}
	c.Swatch = r.swatch(f.get("swatch"))
	c.Shows = f.length("shows", exact.Num{})
	c.Width = f.length("width", r.doc.Width)
	c.Print = Print(f.choice("print", string(Plain), string(TwoWay), string(OneWay)))
	if c.Print == "" {
		c.Print = Plain
	}
	c.Upright = Upright(f.choice("upright", string(UprightBlock), string(UprightQuilt)))
	if c.Upright == "" {
		c.Upright = UprightBlock
	} else if c.Print == Plain {
		r.errorf(f.keys["upright"], "bad-value", "fabric %s is plain, so it has no way up", c.Letter).Remedy = "add print: one-way or print: two-way, or take upright out"
	}
	c.Sold = r.sold(f.get("sold"))
	have := r.list(f.get("have"), "have", "have: [[18, 21]]")
	if len(have) == 2 && have[0].kind == scalar && have[1].kind == scalar {
		r.errorf(f.by["have"].at, "wrong-type", "have is a list of pieces, each [width, height]").Remedy =
			fmt.Sprintf("one piece is  [[%s, %s]]", shorten(have[0].text), shorten(have[1].text))
		have = nil
	}
	for _, piece := range have {
		if w, h, ok := r.pair(piece, "a piece on the shelf", false); ok {
			c.Have = append(c.Have, [2]exact.Num{w, h})
		}
	}
	c.Assorted = 1
	if i, ok := r.whole(f.get("assorted"), "assorted", 1, 200); ok {
		c.Assorted = i
	}
	c.Motif = r.motif(f.get("motif"), &c)
	return c
}

// motif reads how large a motif is and how far apart two stand; nil where there is none, or none that makes sense.
func (r *reader) motif(n *node, c *Fabric) *Motif {
	const example = "motif: {size: 4, every: [6, 8]}"
	if n == nil {
		return nil
	}
	f := r.fields(n, "motif", "size", "every")
	var m Motif
	size, every := f.required("size", example), f.required("every", example)
	okSize := false
	m.Size, okSize = r.length(size, "size", false)
	if okSize {
		before := r.found.Count(diag.Error)
		r.least(f, "size", m.Size, r.pick(exact.Frac(1, 4), exact.Frac(1, 2)))
		okSize = r.found.Count(diag.Error) == before
	}
	if !okSize || every == nil {
		return nil
	}
	sides := []*node{every, every}
	if every.kind != scalar {
		if sides = every.items; every.kind != sequence || len(sides) != 2 {
			r.errorf(every.at, "wrong-type", "every is one length, or two as [across, along]").Remedy = "for example  every: [6, 8]"
			return nil
		}
	}
	for k, side := range sides {
		x, ok := r.length(side, "every", true)
		if !ok {
			return nil
		}
		if x.Sign() > 0 && x.Less(m.Size) {
			r.errorf(side.at, "bad-value", "motifs of %s cannot stand every %s", measure.FormatWith(m.Size.Float(), r.doc.Measure), measure.FormatWith(x.Float(), r.doc.Measure)).Remedy =
				"measure from the middle of one motif to the middle of the next that looks the same"
			return nil
		}
		m.Every[k] = x
	}
	runs := m.Every[0].Sign() == 0 || m.Every[1].Sign() == 0
	switch {
	case m.Every[0].Sign() == 0 && m.Every[1].Sign() == 0:
		r.errorf(every.at, "bad-value", "a motif that repeats neither across the cloth nor along it has no place").Remedy = "write how far apart two stand: every: [6, 8]"
		return nil
	case runs && c.Print == Plain:
		r.errorf(every.at, "bad-value", "a motif that repeats one way only is a stripe, and fabric %s is plain", c.Letter).Remedy = "add print: two-way, or write both distances"
		return nil
	}
	return &m
}

// color reads a fabric's colour; otherwise where it is missing or wrong.
func (r *reader) color(f fields, otherwise string) string {
	n := f.get("color")
	if s, ok := r.scalar(n, "color"); ok {
		if hex, ok := color(s); ok {
			return hex
		}
		r.errorf(n.at, "bad-value", "color “%s” is not a colour", shorten(s)).Remedy = "write # and six of 0-9 a-f in quotes: \"#c8502b\""
	}
	return otherwise
}

// color returns the colour as #rrggbb in small letters; #rgb is written out.
func color(s string) (string, bool) {
	hex, ok := strings.CutPrefix(strings.ToLower(s), "#")
	if _, err := strconv.ParseUint(hex, 16, 32); !ok || err != nil || strings.HasPrefix(hex, "+") {
		return "", false
	}
	switch len(hex) {
	case 6:
		return "#" + hex, true
	case 3:
		return fmt.Sprintf("#%[1]c%[1]c%[2]c%[2]c%[3]c%[3]c", hex[0], hex[1], hex[2]), true
	default:
		return "", false
	}
}

// valueOf judges how dark a colour #rrggbb is, by its luma (Rec. 601 weights) in three equal parts.
func valueOf(hex string) Value {
	var c [3]int64
	for i := range c {
		c[i], _ = strconv.ParseInt(hex[1+2*i:3+2*i], 16, 64)
	}
	switch luma := 299*c[0] + 587*c[1] + 114*c[2]; {
	case luma >= 170*1000:
		return Light
	case luma >= 85*1000:
		return Medium
	default:
		return Dark
	}
}

// swatch reads the path of a picture beside the document; nothing outside its folder can be named.
func (r *reader) swatch(n *node) string {
	s, ok := r.text(n, "swatch", 200)
	if !ok {
		return ""
	}
	if s == "" || path.IsAbs(s) || strings.ContainsAny(s, "\\:\n") || path.Clean(s) != s || slices.Contains(strings.Split(s, "/"), "..") {
		r.errorf(n.at, "bad-value", "swatch “%s” is not a file beside the document", shorten(s)).Remedy = "write a path such as swatches/ember.jpg"
		return ""
	}
	if !slices.Contains([]string{".jpg", ".jpeg", ".png"}, strings.ToLower(path.Ext(s))) {
		r.errorf(n.at, "bad-value", "swatch “%s” is neither a .jpg nor a .png", shorten(s))
		return ""
	}
	return s
}

func (r *reader) sold(n *node) Sold {
	if n != nil && n.kind == mapping {
		f := r.fields(n, "sold", "sheet")
		if w, h, ok := r.pair(f.required("sheet", "sold: {sheet: [10, 10]}"), "sheet", false); ok {
			return Sold{Form: "sheet", Sheet: [2]exact.Num{w, h}}
		}
		return Sold{Form: "bolt"}
	}
	if form := r.choice(n, "sold", "bolt", "fat quarter", "fat eighth"); form != "" {
		return Sold{Form: form}
	}
	return Sold{Form: "bolt"}
}

// finish reads binding, backing and batting.
func (r *reader) finish(n *node) Finish {
	var out Finish
	f := r.fields(n, "finish", "binding", "backing", "batting")
	overhang := r.pick(exact.Int(4), exact.Int(10))
	if n := f.get("binding"); n != nil {
		g := r.fields(n, "binding", "fabric", "strip", "cut")
		b := &Binding{At: n.at, Strip: g.length("strip", r.pick(exact.Frac(5, 2), exact.Frac(13, 2))), Cut: g.choice("cut", "straight", "bias")}
		if b.Cut == "" {
			b.Cut = "straight"
		}
		b.Fabric = r.letters(g.required("fabric", "binding: {fabric: B}"), "fabric")
		if b.Fabric != "" {
			out.Binding = b
		}
	}
	if n := f.get("backing"); n != nil {
		g := r.fields(n, "backing", "name", "width", "overhang")
		out.Backing = &Backing{At: n.at, Name: g.line("name"), Width: g.length("width", r.doc.Width), Overhang: g.length("overhang", overhang)}
		if out.Backing.Name == "" {
			out.Backing.Name = "Backing"
		}
	}
	if n := f.get("batting"); n != nil {
		g := r.fields(n, "batting", "overhang")
		out.Batting = &Batting{At: n.at, Overhang: g.length("overhang", overhang)}
	}
	return out
}

// make reads choices of construction; inBlock leaves what is not written to the quilt's. nil in a block without any.
func (r *reader) makeOf(n *node) *Make {
	if n == nil {
		return nil
	}
	m := r.make(n, true)
	return &m
}

func (r *reader) make(n *node, inBlock bool) Make {
	m := Make{Spare: exact.Int(-1)}
	if !inBlock {
		m = Make{HalfSquares: "auto", Hourglass: "auto", Three: "auto", Geese: "auto", InSquare: "auto", StripSets: "auto", LongStrips: "auto", Corners: "passing", Fit: "exact", Press: "nest",
			Squaring: r.pick(exact.Int(1), exact.Frac(5, 2)), MiscutStrip: true}
	}
	if n == nil {
		return m
	}
	m.At = n.at
	f := r.fields(n, "make", "half squares", "hourglass", "three triangles", "geese", "square in square", "strip sets", "long strips", "corners", "fit", "press", "spare", "margin", "samples")
	for _, c := range []struct {
		to      *string
		key     string
		choices []string
	}{
		{&m.HalfSquares, "half squares", []string{"auto", "singles", "pairs", "eights"}},
		{&m.Hourglass, "hourglass", []string{"auto", "singles", "pairs"}},
		{&m.Three, "three triangles", []string{"auto", "singles", "pairs"}},
		{&m.Geese, "geese", []string{"auto", "singles", "fours", "flips"}},
		{&m.InSquare, "square in square", []string{"auto", "singles", "flips"}},
		{&m.StripSets, "strip sets", []string{"auto", "always", "never"}},
		{&m.LongStrips, "long strips", []string{"auto", "along", "straight", "diagonal"}},
		{&m.Corners, "corners", []string{"passing", "trimmed"}},
		{&m.Press, "press", []string{"nest", "dark", "open", "spin"}},
	} {
		if s := f.choice(c.key, c.choices...); s != "" {
			*c.to = s
		}
	}
	r.fit(f.get("fit"), &m)
	if x, ok := r.percent(f.get("spare"), "spare", 100); ok {
		m.Spare = x
	}
	for _, key := range []string{"long strips", "press", "spare", "margin", "samples"} {
		if inBlock && f.get(key) != nil {
			r.errorf(f.keys[key], "bad-value", "%s belongs to the whole quilt", key).Remedy = "move it to the quilt's make"
			return m
		}
	}
	m.Samples = f.bool("samples")
	if margin := f.get("margin"); margin != nil {
		g := r.fields(margin, "margin", "squaring", "miscut")
		if x, ok := r.length(g.get("squaring"), "squaring", true); ok {
			m.Squaring = x
		}
		switch n := g.get("miscut"); {
		case n != nil && n.kind == scalar && n.text == "one strip":
			m.MiscutStrip = true
		case n != nil:
			if x, ok := r.length(n, "miscut", true); ok {
				m.MiscutStrip, m.Miscut = false, x
			} else {
				r.found[len(r.found)-1].Remedy = "write one strip, or a length"
			}
		}
	}
	return m
}

// fit reads exact or trim, for everything or unit by unit.
func (r *reader) fit(n *node, m *Make) {
	if n == nil {
		return
	}
	if n.kind != mapping {
		if s := r.choice(n, "fit", "exact", "trim"); s != "" {
			m.Fit = s
		}
		return
	}
	keys := []string{"half squares", "hourglass", "three triangles", "geese"}
	f := r.fields(n, "fit", keys...)
	for _, k := range keys {
		if s := f.choice(k, "exact", "trim"); s != "" {
			if m.FitBy == nil {
				m.FitBy = map[string]string{}
			}
			m.FitBy[k] = s
		}
	}
}

// place of a key for messages about the whole of it.
func (f fields) place(key string) diag.Pos { return f.keys[key] }
