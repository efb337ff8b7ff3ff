// Package audit compares a cutting list that someone has written with what a plan needs, and says of each line whether it is right, or
// which mistake it is: too small, too few, the finished size printed as the cut size ...
//
// What is needed comes out of the plan: its pieces, and the finished outlines of the patches and units that are made of them. There is no
// formula of a cut size here; the sizes of other people's methods are a short table of published figures.
//
// A size is right if each side is no less than geometry asks and no more than is printed, but for the ease of the plan (1/32 in, 0.08 cm):
// the list may round otherwise than the plan. Which way round a blank is written does not matter. A mistake is recognised where the size is
// within half the ease of what the mistake would give, a finished size, which people round, within the ease. A strip may be as long as the cloth is wide. A number is right from what is needed to
// what the plan cuts, spares included. Lines of the same size are one, however they are split; a square may stand for the blank of a
// triangle.
//
//	lines, found := audit.Read(src, measure.Inch)
//	result := audit.Compare(p, lines)
//	if !result.Holds { ... result.Findings ... }
package audit

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"quiltwright/internal/diag"
	"quiltwright/internal/measure"
	"quiltwright/internal/plan"
)

// Verdict is what a line is.
type Verdict struct {
	Line
	Is       Mistake `json:"is"`
	Says     string  `json:"says,omitempty"`
	ShouldBe *Blank  `json:"shouldBe,omitempty"` // what the plan cuts; for a line that is right too
}

// Blank is what a plan cuts.
type Blank struct {
	Pieces []string `json:"pieces"` // labels
	Fabric string   `json:"fabric"`
	Width  float64  `json:"width"`
	Height float64  `json:"height"`
	Count  int      `json:"count"`
	Least  int      `json:"least"` // without spares
}

// Result is the whole comparison.
type Result struct {
	Holds    bool      `json:"holds"` // no finding is an error
	Lines    []Verdict `json:"lines"` // in the order of the list
	Missing  []Blank   `json:"missing"`
	Findings diag.List `json:"findings"`
}

// group is the lines of one fabric, size and shape.
type group struct {
	fabric string
	a, b   float64
	class  class
	vague  bool // its shape says nothing: any class will do
	lines  []int
	left   int // of their count, what is not assigned yet
	need   *need
	is     Mistake
}

// use is a group that is cut for a need.
type use struct {
	g     *group
	count int
}

type comparison struct {
	p      *plan.Plan
	rules  rules
	unit   measure.Unit
	lines  []Line
	out    *Result
	groups []*group
	needs  []*need
	uses   map[*need][]use
}

// Compare compares the lines of a list with the plan. Every line gets a verdict; what has no line is missing. A plan that has no pieces needs
// nothing.
func Compare(p *plan.Plan, lines []Line) Result {
	c := &comparison{p: p, lines: slices.Clone(lines), needs: needs(p), uses: map[*need][]use{}, out: &Result{Lines: make([]Verdict, len(lines)), Missing: []Blank{}}}
	c.rules = rulesOf(p)
	if p.Measure == "cm" {
		c.unit = measure.Centimetre
	}
	for i := range c.lines {
		c.out.Lines[i] = Verdict{Line: c.lines[i], Is: Right}
	}
	c.findFabrics()
	c.group()
	c.fit()
	c.mistaken()
	c.count()
	c.surplus()
	c.missing()
	c.out.Findings.Sort()
	c.out.Holds = !c.out.Findings.HasErrors()
	return *c.out
}

// findFabrics reads the list's words for fabrics: letters or names.
func (c *comparison) findFabrics() {
	var known []string
	byWord := map[string]string{}
	for _, f := range c.p.Fabrics {
		byWord[strings.ToLower(f.Letter)] = f.Letter
		known = append(known, f.Letter)
	}
	for _, f := range c.p.Fabrics {
		if name := strings.ToLower(f.Name); name != "" && byWord[name] == "" {
			byWord[name] = f.Letter
			known = append(known, f.Name)
		}
	}
	for i := range c.lines {
		l := &c.lines[i]
		word := strings.ToLower(l.Fabric)
		if first, rest, ok := strings.Cut(word, " "); ok && byWord[word] == "" && byWord[strings.TrimSpace(rest)] == byWord[first] {
			word = first // "A Fog"
		}
		if l.letter = byWord[word]; l.letter != "" {
			continue
		}
		l.outside = true
		remedy := "the plan has the fabrics " + strings.Join(known, ", ")
		if s := diag.Suggest(l.Fabric, known); s != "" {
			remedy = "did you mean “" + s + "”?"
		}
		c.say(i, colFabric, OtherFabric, nil, remedy, "the plan has no fabric “%s”", l.Fabric)
	}
}

// say gives a line its verdict, with an error.
func (c *comparison) say(line, column int, is Mistake, n *need, remedy, says string, args ...any) *diag.Finding {
	v := &c.out.Lines[line]
	v.Is, v.Says = is, fmt.Sprintf(says, args...)
	if n != nil {
		v.ShouldBe = c.blank(n)
	}
	f := c.out.Findings.Errorf(c.lines[line].places[column], strings.ReplaceAll(string(is), " ", "-"), "%s", string(is)+": "+v.Says)
	f.Remedy = remedy
	return f
}

func (c *comparison) blank(n *need) *Blank {
	return &Blank{Pieces: n.labels, Fabric: n.fabric, Width: n.width, Height: n.height, Count: n.max, Least: n.min}
}

// by prints a size.
func (c *comparison) by(a, b float64) string {
	return measure.Format(a, c.unit) + " by " + measure.Format(b, c.unit) + " " + c.unit.Abbrev()
}

// of names what is needed.
func (c *comparison) of(n *need) string { return strings.Join(n.labels, ", ") }

// right says what would be right.
func (c *comparison) right(n *need) string {
	return fmt.Sprintf("cut %d of %s", n.max, c.by(n.width, n.height))
}

// group puts lines together that cut the same.
func (c *comparison) group() {
	type like struct {
		fabric      string
		class       class
		known       bool
		short, long int64
	}
	micro := func(x float64) int64 { return int64(math.Round(x * 1e6)) }
	at := map[like]int{}
	for i := range c.lines {
		l := &c.lines[i]
		if l.outside {
			continue
		}
		kind, known := shapes[l.Shape]
		key := like{l.letter, kind, known, micro(min(l.Width, l.Height)), micro(max(l.Width, l.Height))}
		k, there := at[key]
		if !there {
			k = len(c.groups)
			at[key] = k
			c.groups = append(c.groups, &group{fabric: l.letter, a: l.Width, b: l.Height, class: kind, vague: !known, is: Right})
		}
		c.groups[k].lines = append(c.groups[k].lines, i)
		c.groups[k].left += l.Count
	}
}

// Suits: how well the shape of a group suits a need.
const (
	suits    = iota // it is the same
	allowed         // a blank may be called that
	unlikely        // it is something else
)

func (g *group) suits(n *need) int {
	switch {
	case !g.vague && g.class == n.class:
		return suits
	case g.vague, g.class == whole, n.class == other, g.class == other, g.class == half && n.class == whole && len(n.legs) > 0:
		return allowed
	}
	return unlikely
}

// fit assigns every group whose size is right.
func (c *comparison) fit() {
	for _, want := range []int{suits, allowed, unlikely} {
		for _, g := range c.groups {
			if g.left == 0 && g.need != nil {
				continue
			}
			for _, n := range c.needs {
				if n.fabric != g.fabric || g.suits(n) != want || !c.rules.fits(n, g.a, g.b) && !c.rules.piecewise(n, g.a, g.b) {
					continue
				}
				if want != suits && c.cut(n) >= n.max && (g.need != nil || g.left > 0 && c.lacks(g)) {
					continue // it has enough
				}
				take := g.left
				if room := n.max - c.cut(n); take > room && c.lacks(g) {
					take = max(room, 0) // the rest is for another need of the same size
				}
				if g.need == nil {
					g.need = n
				}
				c.uses[n] = append(c.uses[n], use{g, take})
				g.left -= take
				if want == unlikely {
					g.is = OtherShape
					c.say(g.lines[0], colShape, OtherShape, n, fmt.Sprintf("cut the blank as piece %s says", c.of(n)), "a %s is cut otherwise than %s, which has this size", c.lines[g.lines[0]].Shape, c.of(n))
				}
				if g.left == 0 {
					break
				}
			}
		}
	}
	for _, g := range c.groups { // what is left is too many of the last
		if g.need != nil && g.left > 0 {
			us := c.uses[g.need]
			k := slices.IndexFunc(us, func(u use) bool { return u.g == g })
			us[k].count += g.left
			g.left = 0
		}
	}
}

// lacks reports whether a need that the group fits, by its size, has room.
func (c *comparison) lacks(g *group) bool {
	for _, o := range c.needs {
		if o.fabric == g.fabric && c.rules.fits(o, g.a, g.b) && c.cut(o) < o.max {
			return true
		}
	}
	return false
}

// cut is how many blanks of a need the list has.
func (c *comparison) cut(n *need) int {
	sum := 0
	for _, u := range c.uses[n] {
		if c.rules.piecewise(n, u.g.a, u.g.b) && !c.rules.fits(n, u.g.a, u.g.b) {
			sum += u.count / n.joined
			continue
		}
		sum += u.count
	}
	return sum
}

// pair is a guess: the group was meant to be the need.
type pair struct {
	g     *group
	n     *need
	is    Mistake
	why   string
	score float64
}

// far is the score beyond which a size has nothing to do with what is needed.
const far = 2.5

// mistaken assigns the groups whose size is wrong to the needs that nothing was cut for, the likeliest first.
func (c *comparison) mistaken() {
	var pairs []pair
	for _, g := range c.groups {
		if g.need != nil {
			continue
		}
		for _, n := range c.needs {
			if len(c.uses[n]) > 0 || n.extra {
				continue
			}
			z := sized(g.a, g.b)
			x := pair{g: g, n: n, score: z.distance(n.size())}
			if n.fabric != g.fabric {
				if !c.rules.fits(n, g.a, g.b) {
					continue
				}
				x.is = OtherFabric
				x.score += 0.8 // a mistake with a reason in its own fabric is likelier
			} else if x.is, x.why = c.rules.explain(n, g.a, g.b, g.left); x.why == "" {
				x.score += 1
			}
			if g.left < n.min || g.left > n.max {
				x.score += 0.4
			}
			if g.suits(n) == unlikely {
				x.score += 0.5
			}
			if c.labelled(g, n) {
				x.score -= 1
			}
			if x.score <= far {
				pairs = append(pairs, x)
			}
		}
	}
	slices.SortStableFunc(pairs, func(x, y pair) int {
		switch {
		case x.score < y.score:
			return -1
		case x.score > y.score:
			return 1
		}
		return 0
	})
	for _, x := range pairs {
		if x.g.need != nil || len(c.uses[x.n]) > 0 {
			continue
		}
		x.g.need, x.g.is = x.n, x.is
		c.uses[x.n] = append(c.uses[x.n], use{x.g, x.g.left})
		for _, i := range x.g.lines {
			c.wrongSize(i, x)
		}
	}
}

// wrongSize says what is wrong with the size of a line, or with its fabric.
func (c *comparison) wrongSize(i int, x pair) {
	n, l := x.n, &c.lines[i]
	if x.is == OtherFabric {
		c.say(i, colFabric, OtherFabric, n, fmt.Sprintf("cut %s of fabric %s", c.of(n), n.fabric), "nothing of fabric %s is %s; of fabric %s it would be %s", l.Fabric, c.by(l.Width, l.Height), n.fabric, c.of(n))
		return
	}
	why := ""
	if x.why != "" {
		why = "; " + x.why
	}
	column := colWidth
	if one, other := l.Width >= n.least[0]-c.rules.ease && l.Width <= n.width+c.rules.ease, l.Height >= n.least[1]-c.rules.ease && l.Height <= n.height+c.rules.ease; one && !other {
		column = colHeight
	}
	f := c.say(i, column, x.is, n, c.right(n), "%s is %s, the plan cuts %s%s", c.of(n), c.by(l.Width, l.Height), c.by(n.width, n.height), why)
	roomy := sized(l.Width, l.Height)
	if most := n.size().plus(c.rules.roomy); n.trimmed && roomy[0] >= n.size()[0] && roomy[1] >= n.size()[1] && roomy[0] <= most[0] && roomy[1] <= most[1] {
		f.Severity, f.Remedy = diag.Warning, "it takes more cloth, and is trimmed all the same; "+c.right(n)
	}
}

// labelled reports whether a line of the group carries a label of the need.
func (c *comparison) labelled(g *group, n *need) bool {
	return slices.ContainsFunc(g.lines, func(i int) bool { return slices.Contains(n.labels, c.lines[i].Label) })
}

// count compares the numbers of what has the right size.
func (c *comparison) count() {
	for _, n := range c.needs {
		us := c.uses[n]
		if len(us) == 0 || slices.ContainsFunc(us, func(u use) bool { return u.g.is != Right }) {
			continue
		}
		for _, u := range us {
			for _, i := range u.g.lines {
				if v := &c.out.Lines[i]; v.ShouldBe == nil {
					v.ShouldBe = c.blank(n)
				}
			}
		}
		lines := us[len(us)-1].g.lines
		last := lines[len(lines)-1]
		switch cut := c.cut(n); {
		case cut < n.min && c.out.Lines[last].Is == Right:
			remedy := fmt.Sprintf("cut %d", n.max)
			if n.max > n.min {
				remedy += fmt.Sprintf("; %d of them are spare", n.max-n.min)
			}
			c.say(last, colCount, TooFew, n, remedy, "%d of %s, the plan needs %d", cut, c.of(n), n.min)
		case cut > n.max && c.out.Lines[last].Is == Right:
			c.say(last, colCount, TooMany, n, fmt.Sprintf("cut %d", n.max), "%d of %s, the plan cuts %d", cut, c.of(n), n.max)
		}
	}
}

// surplus names the lines that the plan has no use for.
func (c *comparison) surplus() {
	for _, g := range c.groups {
		if g.need != nil {
			continue
		}
		for _, i := range g.lines {
			l := &c.lines[i]
			c.say(i, colWidth, TooMany, nil, "leave the line out, or give it the size of what it is for", "the plan needs nothing of fabric %s like %s", l.Fabric, c.by(l.Width, l.Height))
		}
	}
}

// missing names what has no line.
func (c *comparison) missing() {
	for _, n := range c.needs {
		if len(c.uses[n]) > 0 || n.extra {
			continue
		}
		c.out.Missing = append(c.out.Missing, *c.blank(n))
		c.out.Findings.Errorf(c.end(n.fabric), "missing", "missing: the list has no %s of fabric %s, %s", c.of(n), n.fabric, c.by(n.width, n.height)).Remedy = c.right(n)
	}
}

// end is where a list leaves off with a fabric: at its last line, or at the end.
func (c *comparison) end(fabric string) diag.Pos {
	at := diag.Pos{Line: 1, Column: 1}
	for k := range c.lines {
		if l := &c.lines[len(c.lines)-1-k]; l.letter == fabric {
			return l.places[colFabric]
		}
	}
	if n := len(c.lines); n > 0 {
		at = c.lines[n-1].places[colFabric]
	}
	return at
}
