package app

import (
	"bytes"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"quiltwright/internal/figure"
	"quiltwright/internal/plan"
	"quiltwright/internal/scene"
	"quiltwright/internal/scene/svg"
	"quiltwright/internal/words"
)

// sewView is the steps of a month.
type sewView struct {
	planView
	Month int         `json:"month"` // that is shown; 1 without a programme
	Units []sewUnit   `json:"units"`
	Found []foundView `json:"found"`
}

// sewUnit is the steps of one recipe, and by which method it is made.
type sewUnit struct {
	Unit   string    `json:"unit"` // its id in the plan
	Head   string    `json:"head"`
	Of     string    `json:"of"`
	Blocks []string  `json:"blocks"` // that it is sewn into
	Choice *sewWays  `json:"choice"` // null where there is one way only
	Steps  []sewStep `json:"steps"`
}

// sewWays are the ways to make a unit.
type sewWays struct {
	Key  string   `json:"key"` // under make
	Is   string   `json:"is"`  // how it is made
	Why  string   `json:"why"`
	Ways []sewWay `json:"ways"`
}

// sewWay is one of them.
type sewWay struct {
	Value  string `json:"value"` // as the document writes it
	Says   string `json:"says"`
	Chosen bool   `json:"chosen"` // it is made so
	Why    string `json:"why"`    // it is not; "" where nothing is known against it
}

// sewStep is one step.
type sewStep struct {
	Number int      `json:"number"`
	Do     string   `json:"do"` // labels between pairs of asterisks
	Check  string   `json:"check"`
	Notes  []string `json:"notes"`
	Drawn  string   `json:"drawn"` // SVG
	Labels []string `json:"labels"`
	Times  int      `json:"times"`
	Over   int      `json:"over"` // made and not needed
}

// viewSew makes the view.
func viewSew(s *state, q url.Values) any {
	common, r := s.common(q)
	common.Terms = s.sewTerms()
	v := sewView{planView: common, Month: 1, Units: []sewUnit{}, Found: []foundView{}}
	if r == nil {
		v.Found = s.findingsOf("")
		return v
	}
	p := r.Plan
	if m, _ := strconv.Atoi(q.Get("month")); m >= 1 && m <= len(p.Months) {
		v.Month = m
	}
	say, fig := drawer(p)
	mine := say.Reading(v.Month)
	for n := 0; n < len(mine); {
		first := &p.Steps[mine[n]]
		end := n
		for end < len(mine) && p.Steps[mine[end]].Recipe == first.Recipe && p.Steps[mine[end]].Unit == first.Unit {
			end++
		}
		title := say.Title(first.Recipe)
		u := sewUnit{Unit: first.Unit, Head: title.Head, Of: title.Of, Blocks: blocksOf(p, first.Unit), Choice: waysOf(p, first.Unit), Steps: []sewStep{}}
		if u.Head == "" {
			u.Head = say.Name(first.Unit)
		}
		scale := fig.StepScale(mine[n:end], 220, 150, 20)
		for ; n < end; n++ {
			u.Steps = append(u.Steps, stepOf(p, mine[n], n+1, scale, say, fig))
		}
		v.Units = append(v.Units, u)
	}
	return v
}

// stepOf is a step in words and drawn.
func stepOf(p *plan.Plan, i, number int, scale float64, say *words.Teller, fig *figure.Drawer) sewStep {
	step := &p.Steps[i]
	said := say.Step(i)
	out := sewStep{Number: number, Do: string(said.Do), Check: said.Check.String(), Notes: []string{}, Labels: []string{}, Times: step.Count, Over: step.Surplus}
	for _, before := range []words.Text{said.Web, said.Together} {
		if before != "" {
			out.Notes = append(out.Notes, string(before))
		}
	}
	for _, t := range said.Notes {
		out.Notes = append(out.Notes, string(t))
	}
	if d := fig.Step(i, scale); d.W > 0 {
		out.Drawn = inline(d)
	}
	for _, piece := range p.Pieces {
		if strings.Contains(out.Do, "**"+piece.Label+"**") || step.Recipe != "" && takes(p, step.Recipe, piece.Label) {
			out.Labels = append(out.Labels, piece.Label)
		}
	}
	return out
}

// takes reports whether a recipe takes the piece.
func takes(p *plan.Plan, recipe, label string) bool {
	i := slices.IndexFunc(p.Recipes, func(r plan.Recipe) bool { return r.ID == recipe })
	return i >= 0 && slices.ContainsFunc(p.Recipes[i].From, func(f plan.From) bool { return f.Piece == label })
}

// inline is a drawing that may stand in the page: the policy of the page allows no styles within it; its style sheet knows the class.
func inline(d scene.Drawing) string {
	return string(bytes.ReplaceAll(svg.Inline(d), []byte(`style="font-feature-settings:'frac'"`), []byte(`class="frac"`)))
}

// blocksOf are the blocks that a unit is sewn into, in the order of the plan.
func blocksOf(p *plan.Plan, unit string) []string {
	out := []string{}
	for _, b := range p.Blocks {
		if b.Made > 0 && !slices.Contains(out, b.Name) && under(p, b.Unit, []string{unit}) {
			out = append(out, b.Name)
		}
	}
	return out
}

// choosable are the kinds of units that can be made in several ways: the key under make, and its choices in the order in which they are offered.
var choosable = map[string]sewWays{
	"half square": {Key: "half squares", Ways: []sewWay{{Value: "singles", Says: "one at a time, from triangles"}, {Value: "pairs", Says: "two at a time, from two squares"},
		{Value: "eights", Says: "eight at a time, from two large squares"}}},
	"flying geese": {Key: "geese", Ways: []sewWay{{Value: "singles", Says: "one at a time, from triangles"},
		{Value: "fours", Says: "four at a time, from one large and four small squares"}, {Value: "flips", Says: "one at a time, corners flipped from squares"}}},
	"hourglass":          {Key: "hourglass", Ways: []sewWay{{Value: "singles", Says: "one at a time, from triangles"}, {Value: "pairs", Says: "in batches, from squares"}}},
	"three triangles":    {Key: "three triangles", Ways: []sewWay{{Value: "singles", Says: "one at a time, from triangles"}, {Value: "pairs", Says: "left and right together, from squares"}}},
	"square in a square": {Key: "square in square", Ways: []sewWay{{Value: "singles", Says: "a square and four triangles"}, {Value: "flips", Says: "corners flipped from squares"}}},
}

// stripSets are the ways to make a row.
var stripSets = sewWays{Key: "strip sets", Ways: []sewWay{{Value: "always", Says: "from strips sewn together and cut into segments"}, {Value: "never", Says: "piece by piece"}}}

// waysOf are the ways to make a unit, nil where there is one only.
func waysOf(p *plan.Plan, unit string) *sewWays {
	c := slices.IndexFunc(p.Choices, func(c plan.Choice) bool { return c.Unit == unit })
	u := slices.IndexFunc(p.Units, func(u plan.Unit) bool { return u.ID == unit })
	if c < 0 || u < 0 {
		return nil
	}
	choice := &p.Choices[c]
	value := map[string]string{"joined": "singles", "strip set": "always"}[choice.Method]
	if value == "" {
		value = choice.Method
	}
	ways, ok := choosable[p.Units[u].Kind]
	if !ok {
		if choice.Method != "strip set" && !slices.ContainsFunc(choice.Refused, func(f plan.Refused) bool { return f.Method == "strip set" }) {
			return nil
		}
		if ways = stripSets; value != "always" {
			value = "never"
		}
	}
	v := &sewWays{Key: ways.Key, Why: whys[choice.Why], Ways: []sewWay{}}
	for _, way := range ways.Ways {
		way.Chosen = way.Value == value
		method := map[string]string{"always": "strip set"}[way.Value]
		if method == "" {
			method = way.Value
		}
		if i := slices.IndexFunc(choice.Refused, func(f plan.Refused) bool { return f.Method == method }); i >= 0 && !way.Chosen {
			why := choice.Refused[i].Why
			if way.Why = against[why]; way.Why == "" {
				way.Why = why
			}
			if v.Key == "square in square" && why == "cloth" {
				way.Why = "it takes more cloth"
			}
		}
		if way.Chosen {
			v.Is = way.Says
		}
		v.Ways = append(v.Ways, way)
	}
	return v
}

// whys say why a method was taken.
var whys = map[string]string{
	"count": "it suits the number that is needed",
	"make":  "you chose it",
	"only":  "",
	"print": "the print has a direction",
	"motif": "each of its patches shows a motif",
	"fit":   "it fits",
}

// against say why a method was not taken.
var against = map[string]string{
	"make":     "you chose otherwise",
	"print":    "the print has a direction: pieces would lie turned",
	"motif":    "it would cut through a motif",
	"surplus":  "more would be left over than they are worth",
	"cloth":    "the cloth has no room for so large a square",
	"assorted": "eight alike would come from one square, and this cloth is meant to vary",
	"strip":    "its squares do not fill a strip",
	"hands":    "half of a batch would be mirror images, which nothing takes",
	"turn":     "it lies on its point",
	"small":    "its two small triangles are of one fabric",
	"open":     "its seams could only be pressed open, and would not nest",
	"fabrics":  "its corners are of two fabrics",
	"count":    "too few are needed for it to pay",
	"width":    "the cloth is not wide enough for two segments",
	"ruler":    "its strips would lie between the marks of the ruler",
	"fit":      "it does not come out to size",
}
