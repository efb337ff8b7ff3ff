package app

import (
	"fmt"
	"net/url"
	"slices"
	"strings"

	"quiltwright/internal/diag"
	"quiltwright/internal/exact"
	"quiltwright/internal/measure"
	"quiltwright/internal/plan"
	"quiltwright/internal/quilt"
	"quiltwright/internal/words"
)

// clothView is the fabrics, and the quilt in them. The address names another set of fabrics that is tried, and whether the quilt is grey.
type clothView struct {
	Measure  string        `json:"measure"` // in | cm
	Width    string        `json:"width"`   // usable width of cloth that says nothing of it, as one reads it
	Fabrics  []clothOf     `json:"fabrics"`
	Palettes []string      `json:"palettes"` // other sets of fabrics
	Tried    string        `json:"tried"`    // the palette that is tried, or ""
	In       []inPalette   `json:"in"`       // the fabrics in it, as many as Fabrics; none where none is tried
	Grey     bool          `json:"grey"`
	Alike    []alikeView   `json:"alike"`   // neighbours that are alike in lightness, in the fabrics or in those that are tried; where Grey
	InAlike  []alikeView   `json:"inAlike"` // the same in the palette
	Top      topView       `json:"top"`
	Needs    string        `json:"needs"` // why it is not known how much is needed; "" where it is
	Findings []findingView `json:"findings"`
	Month    int           `json:"month"` // the first; 0 where there are no months
}

// clothOf is a fabric. What is in words is to be read, the rest to be typed.
type clothOf struct {
	Letter string `json:"letter"`
	Name   string `json:"name"`
	Color  string `json:"color"`
	Grey   string `json:"grey"` // as light as the colour
	Value  string `json:"value"`
	pictured
	Width     string `json:"width"` // "" where it is the quilt's
	WidthSays string `json:"widthSays"`
	Print     string `json:"print"`
	Upright   string `json:"upright"`
	Sold      string `json:"sold"` // bolt | fat quarter | fat eighth | sheet
	SoldSays  string `json:"soldSays"`
	Sheet     string `json:"sheet"` // "10 x 10"
	Have      string `json:"have"`  // "18 x 21, 6 1/2 x 40"; "" without
	HaveSays  string `json:"haveSays"`
	Assorted  int    `json:"assorted"`
	Motif     string `json:"motif"` // "4, 6 x 8"; "" without
	MotifSays string `json:"motifSays"`
	Buy       string `json:"buy"`     // what to ask for; "" where it is not known
	Once      string `json:"once"`    // what cutting takes
	Monthly   string `json:"monthly"` // what it takes when one cuts month by month; "" where that is the same
}

// inPalette is how a fabric looks in another set.
type inPalette struct {
	Name  string `json:"name"`
	Color string `json:"color"`
	Grey  string `json:"grey"`
	pictured
	Changed bool `json:"changed"` // the set says something of it
}

// viewCloth makes the view.
func viewCloth(s *state, q url.Values) any {
	p := s.plan()
	s.mu.Lock()
	defer s.mu.Unlock()
	unit := s.doc.Measure
	top, _ := s.topOf()
	v := clothView{Measure: unit.Abbrev(), Width: measure.FormatWith(s.doc.Width.Float(), unit), Fabrics: []clothOf{}, Palettes: []string{}, In: []inPalette{},
		Grey: q.Get("grey") != "", Alike: []alikeView{}, InAlike: []alikeView{}, Top: top, Findings: []findingView{}}
	for _, f := range s.doc.Fabrics {
		v.Fabrics = append(v.Fabrics, clothSays(s.doc, f))
	}
	s.needs(&v, p)
	v.Month = min(1, len(s.doc.Months))
	for _, other := range s.doc.Palettes {
		v.Palettes = append(v.Palettes, other.Name)
		if other.Name != q.Get("palette") {
			continue
		}
		v.Tried = other.Name
		tried, _ := s.doc.In(other.Name)
		for _, f := range tried.Fabrics {
			_, grey := lightness(f.Color)
			changed := slices.ContainsFunc(other.Fabrics, func(o quilt.Fabric) bool { return o.Letter == f.Letter })
			v.In = append(v.In, inPalette{f.Name, f.Color, grey, picture(f, other.Name), changed})
		}
		if v.Grey {
			v.InAlike = compared(&top, tried.Fabrics)
		}
	}
	if v.Grey {
		v.Alike = compared(&top, s.doc.Fabrics)
	}
	for _, f := range s.found {
		if where := s.sectionOf(f.At); where == "fabrics" || where == "palettes" {
			v.Findings = append(v.Findings, found(f))
		}
	}
	if p != nil {
		for _, f := range p.Findings {
			if f.At == nil || f.Severity == diag.Hint.String() {
				continue // hints are about pieces
			}
			at := diag.Pos{Line: f.At.Line, Column: f.At.Column}
			is := findingView{Severity: f.Severity, Code: f.Code, Says: f.Says, Remedy: f.Remedy, Line: at.Line}
			said := func(g findingView) bool { return g.Says == is.Says && g.Line == is.Line }
			if where := s.sectionOf(at); (where == "fabrics" || where == "palettes") && !slices.ContainsFunc(v.Findings, said) {
				v.Findings = append(v.Findings, is)
			}
		}
	}
	return v
}

// compared are the neighbours that are alike in these fabrics.
func compared(top *topView, fabrics []quilt.Fabric) []alikeView {
	var names, colors []string
	for _, f := range fabrics {
		names, colors = append(names, f.Letter+" "+f.Name), append(colors, f.Color)
	}
	return alikes(top, names, colors)
}

// clothSays is what the document says of a fabric.
func clothSays(doc *quilt.Document, f quilt.Fabric) clothOf {
	unit := doc.Measure
	_, grey := lightness(f.Color)
	v := clothOf{Letter: f.Letter, Name: f.Name, Color: f.Color, Grey: grey, Value: string(f.Value), pictured: picture(f, ""), Print: string(f.Print),
		Upright: string(f.Upright), Sold: f.Sold.Form, Assorted: max(1, f.Assorted), WidthSays: measure.FormatWith(f.Width.Float(), unit) + " wide"}
	if !f.Width.Equal(doc.Width) {
		v.Width = measure.Format(f.Width.Float(), unit)
	}
	by := func(w, h exact.Num, between string) string {
		return measure.Format(w.Float(), unit) + between + measure.Format(h.Float(), unit)
	}
	switch f.Sold.Form {
	case "sheet":
		v.Sheet = by(f.Sold.Sheet[0], f.Sold.Sheet[1], " x ")
		v.SoldSays = "in sheets of " + by(f.Sold.Sheet[0], f.Sold.Sheet[1], " × ") + "\u00a0" + unit.Abbrev()
		v.WidthSays = ""
	case "fat quarter", "fat eighth":
		w, h, _ := doc.Sheet(f)
		v.SoldSays = "in " + f.Sold.Form + "s"
		v.WidthSays = by(h, w, " × ") + "\u00a0" + unit.Abbrev()
	default:
		v.SoldSays = "off the bolt"
	}
	var typed, read []string
	for _, piece := range f.Have {
		typed, read = append(typed, by(piece[0], piece[1], " x ")), append(read, by(piece[0], piece[1], " × "))
	}
	if m := f.Motif; m != nil {
		v.Motif = measure.Format(m.Size.Float(), unit) + ", " + by(m.Every[0], m.Every[1], " x ")
		v.MotifSays = measure.FormatWith(m.Size.Float(), unit) + ", every " + by(m.Every[0], m.Every[1], " × ") + "\u00a0" + unit.Abbrev()
	}
	v.Have, v.HaveSays = strings.Join(typed, ", "), strings.Join(read, ", ")
	return v
}

// needs fills in how much of each cloth the plan takes.
func (s *state) needs(v *clothView, p *plan.Plan) {
	switch {
	case p == nil:
		v.Needs = "How much of each is needed is being planned …"
		return
	case !p.Complete:
		v.Needs = "How much of each is needed is known when everything is mended."
		return
	}
	teller := words.Of(p)
	for i := range v.Fabrics {
		at := slices.IndexFunc(p.Fabrics, func(f plan.Fabric) bool { return f.Letter == v.Fabrics[i].Letter })
		if at < 0 {
			v.Fabrics[i].Buy = "not used"
			continue
		}
		f := &p.Fabrics[at]
		v.Fabrics[i].Buy = teller.Buy(f).Plain()
		length := func(x plan.Num) string { return measure.FormatWith(float64(x), s.doc.Measure) }
		switch {
		case f.Length > 0:
			v.Fabrics[i].Once = length(f.Length)
			if f.Buy.Monthly > 0 {
				v.Fabrics[i].Monthly = length(f.Length + f.Buy.Monthly)
			}
		case f.Sheets > 0:
			v.Fabrics[i].Once = fmt.Sprint(f.Sheets)
			if f.Buy.Monthly > 0 {
				v.Fabrics[i].Monthly = fmt.Sprint(f.Sheets + int(f.Buy.Monthly))
			}
		}
	}
}
