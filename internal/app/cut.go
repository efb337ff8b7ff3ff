package app

import (
	"net/url"
	"slices"
	"strconv"

	"quiltwright/internal/plan"
	"quiltwright/internal/words"
)

// cutView is what is bought and cut: of the whole quilt, or month by month of one month.
type cutView struct {
	planView
	Month   int         `json:"month"` // 0: the whole quilt
	Measure string      `json:"measure"`
	Fabrics []clothCut  `json:"fabrics"`
	Finish  []string    `json:"finish"` // binding, backing, batting
	Found   []foundView `json:"found"`
}

// clothCut is a fabric: what to buy, the cutting list and the strips.
type clothCut struct {
	Letter string      `json:"letter"`
	Name   string      `json:"name"`
	Color  string      `json:"color"`
	Dark   bool        `json:"dark"` // what is written on it is light
	Buy    string      `json:"buy"`
	Uses   string      `json:"uses"`
	Motifs string      `json:"motifs"` // how the motifs stand that its pieces are centred on
	Pieces []pieceCut  `json:"pieces"`
	Strips []stripView `json:"strips"`
	Wide   float64     `json:"wide"` // the longest strip: they are drawn to one scale
}

// pieceCut is a line of the cutting list.
type pieceCut struct {
	Label   string `json:"label"`
	Says    string `json:"says"`
	Becomes string `json:"becomes"`
}

// stripView is strips that are cut alike.
type stripView struct {
	Says   string    `json:"says"`
	Left   string    `json:"left"`
	Length float64   `json:"length"`
	Height float64   `json:"height"`
	Count  int       `json:"count"`
	Boxes  []boxView `json:"boxes"`
}

// boxView is a blank on a strip, in the measure of the document.
type boxView struct {
	Label   string  `json:"label"` // "" for what is left
	X       float64 `json:"x"`
	Y       float64 `json:"y"`
	Width   float64 `json:"width"`
	Height  float64 `json:"height"`
	Falling bool    `json:"falling"` // cut from the top left to the bottom right
	Rising  bool    `json:"rising"`
	Motif   *circle `json:"motif"` // that it is cut about; null: none
}

// circle is what holds a motif.
type circle struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
	R float64 `json:"r"`
}

// viewCut makes the view.
func viewCut(s *state, q url.Values) any {
	common, r := s.common(q)
	common.Terms = s.cutTerms()
	v := cutView{planView: common, Fabrics: []clothCut{}, Finish: []string{}, Found: []foundView{}, Measure: s.doc.Measure.Abbrev()}
	if r == nil {
		v.Found = s.findingsOf("")
		return v
	}
	p := r.Plan
	say := words.Of(p)
	if m, _ := strconv.Atoi(q.Get("month")); slices.ContainsFunc(v.Months, func(n monthName) bool { return n.Number == m }) {
		v.Month = m
	}
	for i := range p.Fabrics {
		f := &p.Fabrics[i]
		c := clothCut{Letter: f.Letter, Name: f.Name, Color: f.Color, Dark: f.Value == "dark", Buy: string(say.Buy(f)), Uses: string(say.Uses(f)), Pieces: []pieceCut{}, Strips: []stripView{}}
		if c.Color == "" {
			c.Color = "#d8d3ca"
		}
		for k := range p.Pieces {
			piece := &p.Pieces[k]
			if piece.Fabric != f.Letter {
				continue
			}
			line, n := say.CutLine(piece), piece.Cut
			if v.Month > 0 {
				line, n = say.CutIn(piece, v.Month), cutIn(piece, v.Month)
			}
			if line != "" {
				c.Pieces = append(c.Pieces, pieceCut{piece.Label, string(line), string(say.Becomes(piece, n, v.Month))})
			}
		}
		c.Motifs = string(say.Motifs(f, v.Month))
		strips := f.StripsOf(v.Month)
		for k := range strips {
			c.Strips = append(c.Strips, stripOf(p, f, &strips[k], say))
			c.Wide = max(c.Wide, float64(strips[k].Length))
		}
		if v.Month > 0 {
			c.Uses = ""
			for _, m := range f.Monthly {
				if m.Month == v.Month && m.Length > 0 {
					c.Uses = "takes " + say.Length(m.Length) + " off the bolt this month"
				}
			}
		}
		if len(c.Pieces)+len(c.Strips) > 0 || v.Month == 0 {
			v.Fabrics = append(v.Fabrics, c)
		}
	}
	if v.Month == 0 {
		for _, t := range say.Finish() {
			v.Finish = append(v.Finish, string(t))
		}
	}
	return v
}

// cutIn is how many blanks a month cuts.
func cutIn(p *plan.Piece, month int) int {
	for _, m := range p.Months {
		if m.Month == month {
			return m.Cut
		}
	}
	return 0
}

// stripOf is a strip with its blanks in their places.
func stripOf(p *plan.Plan, f *plan.Fabric, st *plan.Strip, say *words.Teller) stripView {
	does, left := say.Strip(f, st)
	v := stripView{Says: string(does), Left: left.String(), Length: float64(st.Length), Height: float64(st.Height), Count: st.Count, Boxes: []boxView{}}
	x, high := 0.0, float64(st.Height)
	beside := func(wide float64) {
		if wide > 1e-6 {
			v.Boxes = append(v.Boxes, boxView{X: x, Width: wide, Height: high})
			x += wide
		}
	}
	gap := 0.0 // passed over before what is cut next
	for _, g := range st.Segments() {
		for range g[0].Count {
			beside(gap)
			gap = float64(g[0].Gap)
			y := 0.0
			if drop := float64(say.Drop(st, g[0])); drop > 1e-6 {
				v.Boxes = append(v.Boxes, boxView{X: x, Width: float64(g[0].Width), Height: drop})
				y = drop
			}
			for _, c := range g {
				box := boxOf(p, c)
				box.X, box.Y = x, y
				if at, is := say.MotifIn(c); is && f.Motif != nil {
					box.Motif = &circle{x + float64(at[0]), y + float64(at[1]), float64(f.Motif.Size) / 2}
				} else if len(g) == 1 {
					box.Height = high
				}
				v.Boxes = append(v.Boxes, box)
				y += box.Height
			}
			if high-y > 1e-6 {
				v.Boxes = append(v.Boxes, boxView{X: x, Y: y, Width: float64(g[0].Width), Height: high - y})
			}
			x += float64(g[0].Width)
		}
	}
	beside(gap + float64(st.Left))
	v.Length = max(v.Length, x)
	return v
}

// boxOf is a blank, with how it is cut further.
func boxOf(p *plan.Plan, c plan.Cuts) boxView {
	box := boxView{Label: c.Label, Width: float64(c.Width), Height: float64(c.Height)}
	if i := slices.IndexFunc(p.Pieces, func(q plan.Piece) bool { return q.Label == c.Label }); i >= 0 {
		q := &p.Pieces[i]
		if q.Motif != nil { // as high as it is, in a strip that may be higher
			if box.Height = float64(q.Height); c.Turned {
				box.Height = float64(q.Width)
			}
		}
		switch q.Shape {
		case "half square":
			box.Rising = true
		case "quarter square":
			box.Falling, box.Rising = true, true
		case "half rectangle":
			box.Falling = (q.Hand == "R") != c.Turned
			box.Rising = !box.Falling
		}
	}
	return box
}
