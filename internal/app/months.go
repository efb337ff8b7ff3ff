package app

import (
	"maps"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"quiltwright/internal/diag"
	"quiltwright/internal/draft"
	"quiltwright/internal/plan"
	"quiltwright/internal/set"
	"quiltwright/internal/words"
)

// monthsView is the programme: which month makes what, and what it needs.
type monthsView struct {
	planView
	Programme []monthView   `json:"programme"`
	Waiting   []monthBlock  `json:"waiting"` // that the quilt uses and no month makes
	Notes     []noteView    `json:"notes"`   // of the quilt and of its blocks
	Note      noteView      `json:"note"`    // of the quilt
	Found     []foundView   `json:"found"`
	Fabrics   []fabricColor `json:"fabrics"`
}

type fabricColor struct {
	Letter string `json:"letter"`
	Name   string `json:"name"`
	Color  string `json:"color"`
}

// monthView is a month.
type monthView struct {
	Number int          `json:"number"`
	Title  string       `json:"title"`
	Opens  string       `json:"opens"`
	Note   string       `json:"note"`
	Set    bool         `json:"set"`
	Finish bool         `json:"finish"`
	Blocks []monthBlock `json:"blocks"`
	Needs  []string     `json:"needs"` // in words; empty where the plan is not there
}

// monthBlock is a block that a month makes, coloured and mirrored so.
type monthBlock struct {
	Block   string            `json:"block"`
	Recolor map[string]string `json:"recolor"`
	Mirror  bool              `json:"mirror"`
	Count   int               `json:"count"`
	Says    string            `json:"says"` // "Log Cabin, mirrored"
	Shape   float64           `json:"shape"`
	Patches []miniPatch       `json:"patches"` // in a square of 1, or what its shape makes of it
}

// miniPatch is a patch of a small picture.
type miniPatch struct {
	Points string `json:"points"` // as SVG has it
	Color  string `json:"color"`
}

// noteView is the writer's words about something.
type noteView struct {
	Of   string `json:"of"` // a block's name; "" for the quilt
	Text string `json:"text"`
}

// viewMonths makes the view.
func viewMonths(s *state, q url.Values) any {
	common, r := s.common(q)
	v := monthsView{planView: common, Programme: []monthView{}, Waiting: []monthBlock{}, Notes: []noteView{}, Note: noteView{Text: s.doc.Note}, Found: []foundView{}, Fabrics: []fabricColor{}}
	var say *words.Teller
	if r != nil {
		say = words.Of(r.Plan)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	for i, m := range s.doc.Months {
		out := monthView{Number: i + 1, Title: m.Title, Opens: m.Opens, Note: m.Note, Set: m.Set, Finish: m.Finish, Blocks: []monthBlock{}, Needs: []string{}}
		for _, b := range m.Blocks {
			out.Blocks = append(out.Blocks, s.mini(b.Block, b.Recolor, b.Mirror, b.Count))
		}
		if r != nil && i < len(r.Plan.Months) {
			out.Needs = needs(r.Plan, i+1, say)
		}
		v.Programme = append(v.Programme, out)
	}
	v.Waiting = s.waiting()
	for _, b := range s.doc.Blocks {
		v.Notes = append(v.Notes, noteView{b.Name, b.Note})
	}
	found := s.found
	if s.compiled != nil {
		found = s.compiled.Findings
	}
	for _, f := range found {
		if f.Severity == diag.Error || f.Code == "programme" {
			v.Found = append(v.Found, foundView{f.Severity.String(), f.Says, f.Remedy, f.Block})
		}
	}
	for _, f := range s.doc.Fabrics {
		v.Fabrics = append(v.Fabrics, fabricColor{f.Letter, f.Name, f.Color})
	}
	return v
}

// waiting are the blocks that the set uses and no month makes, in the order in which they lie. The caller holds mu.
func (s *state) waiting() []monthBlock {
	out := []monthBlock{}
	if s.doc.Set == nil {
		return out
	}
	top, _ := set.Lay(s.doc, s.drafter)
	left := map[string]int{}
	for _, m := range s.doc.Months {
		for _, b := range m.Blocks {
			left[variant(b.Block, b.Recolor, b.Mirror)] += b.Count
		}
	}
	at := map[string]int{}
	for _, p := range top.Placed {
		b := s.drafter.Blocks()[p.Block]
		if b.Def == nil {
			continue
		}
		key := variant(b.Name, b.Recolor, b.Mirror)
		if left[key]--; left[key] >= 0 {
			continue
		}
		if i, ok := at[key]; ok {
			out[i].Count++
			continue
		}
		at[key] = len(out)
		out = append(out, s.mini(b.Name, b.Recolor, b.Mirror, 1))
	}
	return out
}

// variant names a block as it is coloured and mirrored.
func variant(name string, recolor map[string]string, mirror bool) string {
	says := name + "|" + strconv.FormatBool(mirror)
	for _, from := range slices.Sorted(maps.Keys(recolor)) {
		if recolor[from] != from {
			says += "|" + from + recolor[from]
		}
	}
	return says
}

// mini is a block as a month makes it, with a small picture. The caller holds mu.
func (s *state) mini(name string, recolor map[string]string, mirror bool, count int) monthBlock {
	v := monthBlock{Block: name, Recolor: map[string]string{}, Mirror: mirror, Count: count, Says: name, Shape: 1, Patches: []miniPatch{}}
	for from, to := range recolor {
		if from != to {
			v.Recolor[from] = to
		}
	}
	if mirror {
		v.Says += ", mirrored"
	}
	for _, from := range slices.Sorted(maps.Keys(v.Recolor)) {
		v.Says += ", " + from + " as " + v.Recolor[from]
	}
	if s.doc.Named(name) == nil {
		return v
	}
	drawn := s.drafter.Draw(draft.Use{Block: name, Recolor: v.Recolor, Mirror: mirror})
	b := s.drafter.Blocks()[drawn]
	w, h := b.Width.Float(), b.Height.Float()
	if w <= 0 || h <= 0 || len(b.Patches) > 2000 {
		return v
	}
	v.Shape = w / h
	for _, p := range b.Patches {
		var points []string
		for _, c := range p.Outline {
			points = append(points, short(c.X.Float()/w)+","+short(c.Y.Float()/w))
		}
		v.Patches = append(v.Patches, miniPatch{strings.Join(points, " "), s.doc.Fabrics[p.Fabric].Color})
	}
	return v
}

func short(x float64) string { return strconv.FormatFloat(x, 'f', 4, 64) }

// needs says what a month needs: cloth off the bolt, pieces to cut, steps.
func needs(p *plan.Plan, month int, say *words.Teller) []string {
	out := []string{}
	cut, steps := 0, 0
	for _, piece := range p.Pieces {
		cut += cutIn(&piece, month)
	}
	for _, s := range p.Steps {
		if s.Month == month {
			steps++
		}
	}
	var cloth []string
	for _, f := range p.Fabrics {
		for _, m := range f.Monthly {
			if m.Month == month && m.Length > 0 {
				cloth = append(cloth, say.Length(m.Length)+" of "+say.Fabric(f.Letter))
			}
		}
	}
	if len(cloth) > 0 {
		out = append(out, listed(cloth)+" off the bolt")
	} else if cut > 0 {
		out = append(out, "no new cloth: it is cut from what earlier months have left")
	}
	if cut == 0 {
		return append(out, "nothing to cut, "+counted(steps, "step"))
	}
	return append(out, counted(cut, "piece")+" to cut, "+counted(steps, "step"))
}
