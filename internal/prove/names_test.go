package prove_test

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"quiltwright/internal/plan"
)

var member = regexp.MustCompile(`^\.([A-Za-z]+)\[(\d+)\]`)

// about is what a finding may name where the value at a path of a plan is wrong: what the value belongs to, and what is sewn or cut by
// it. It is empty where the value is of the plan as a whole.
func about(p *plan.Plan, path string) []string {
	m := member.FindStringSubmatch(path)
	if m == nil {
		return nil
	}
	i, _ := strconv.Atoi(m[2])
	switch m[1] {
	case "units":
		return aboutUnit(p, &p.Units[i])
	case "recipes":
		r := &p.Recipes[i]
		names := []string{r.ID}
		for k := range p.Units {
			if u := &p.Units[k]; u.ID == r.Unit || slices.ContainsFunc(r.Gives, func(g plan.Gives) bool { return g.Unit == u.ID }) {
				names = append(names, aboutUnit(p, u)...)
			}
		}
		for _, f := range r.From {
			names = append(names, f.Piece, f.Unit)
		}
		return names
	case "pieces":
		x := &p.Pieces[i]
		names := []string{x.Label, "fabric " + x.Fabric}
		for k := range p.Units {
			if p.Units[k].Piece == x.Label {
				names = append(names, p.Units[k].ID)
			}
		}
		for _, r := range p.Recipes {
			if slices.ContainsFunc(r.From, func(f plan.From) bool { return f.Piece == x.Label }) {
				names = append(names, r.ID, r.Unit)
			}
		}
		return names
	case "steps":
		names := []string{fmt.Sprintf("step %d", i+1), p.Steps[i].Unit, p.Steps[i].Recipe}
		for _, more := range p.Steps[i].Also {
			names = append(names, more.Unit)
		}
		return names
	case "fabrics":
		names := []string{"fabric " + p.Fabrics[i].Letter}
		for _, x := range p.Pieces {
			if x.Fabric == p.Fabrics[i].Letter {
				names = append(names, x.Label)
			}
		}
		return names
	case "blocks":
		return []string{p.Blocks[i].ID, p.Blocks[i].Name, p.Blocks[i].Unit}
	case "drawn":
		of := strings.TrimPrefix(p.Drawn[i].Of, "block ")
		return []string{p.Drawn[i].Of, of}
	case "placed":
		x := &p.Placed[i]
		return []string{x.Block, fmt.Sprintf("row %d", x.Row), fmt.Sprintf("column %d", x.Column), "layout"}
	case "months":
		names := []string{fmt.Sprintf("month %d", i+1), "the top is set"}
		for _, made := range p.Months[i].Blocks {
			for k := range p.Blocks {
				if p.Blocks[k].ID == made.Block {
					names = append(names, p.Blocks[k].Name)
				}
			}
		}
		return names
	}
	return nil
}

// aboutUnit is a unit, what it is made of and by, and what it is sewn into.
func aboutUnit(p *plan.Plan, u *plan.Unit) []string {
	names := []string{u.ID, u.Piece, u.Recipe}
	for _, q := range u.Parts {
		names = append(names, q.Unit)
	}
	for k := range p.Units {
		if v := &p.Units[k]; slices.ContainsFunc(v.Parts, func(q plan.Part) bool { return q.Unit == u.ID }) {
			names = append(names, v.ID, v.Recipe)
		}
	}
	return names
}

// named reports whether a finding names one of what is looked for.
func named(names []string, findings []plan.Finding) bool {
	if names == nil {
		return true
	}
	return slices.ContainsFunc(findings, func(f plan.Finding) bool {
		return slices.ContainsFunc(names, func(n string) bool {
			return n != "" && (f.Unit == n || f.Piece == n || word(f.Says, n))
		})
	})
}

// word reports whether a text has a word.
func word(text, w string) bool {
	return regexp.MustCompile(`(^|[^A-Za-z0-9])` + regexp.QuoteMeta(w) + `($|[^A-Za-z0-9])`).MatchString(text)
}
