package words

import (
	"fmt"
	"testing"

	"quiltwright/internal/plan"
)

// The order of telling is an order of work: every step once, the steps of a recipe in turn side by side or with what adds to them between, and each
// unit that the month makes before what takes it.
func TestReadingIsAnOrderOfWork(t *testing.T) {
	all := plans(t)
	for _, name := range names(all) {
		p := all[name]
		teller := Of(p)
		for _, m := range p.Months {
			seen, last, stock := map[int]bool{}, map[string]int{}, map[string]int{}
			makes := map[string]bool{}
			for _, s := range p.Steps {
				makes[s.Unit] = makes[s.Unit] || s.Month == m.Number && s.Recipe != ""
			}
			for _, i := range teller.Reading(m.Number) {
				s := &p.Steps[i]
				if seen[i] || s.Month != m.Number {
					t.Errorf("%s: step %d stands twice, or in month %d", name, i, m.Number)
				}
				seen[i] = true
				r := teller.recipes[s.Recipe]
				if r == nil {
					continue
				}
				if n, begun := last[s.Recipe]; begun && s.First != n+1 || !begun && s.First != 0 {
					t.Errorf("%s: step %d begins with operation %d, after %d", name, i, s.First, n)
				}
				last[s.Recipe] = s.Last
				for _, f := range r.From {
					if s.First == 0 && makes[f.Unit] && stock[f.Unit] == 0 {
						t.Errorf("%s: step %d takes %s before it is made", name, i, f.Unit)
					}
				}
				stock[s.Unit] += s.Makes
			}
			for i := range p.Steps {
				if p.Steps[i].Month == m.Number && !seen[i] {
					t.Errorf("%s: step %d is not told", name, i)
				}
			}
		}
	}
}

// What is fed through together is said once, where the first of it is told, and names each unit of the chain.
func TestChainsAreToldOnce(t *testing.T) {
	all := plans(t)
	told := 0
	for _, name := range names(all) {
		p := all[name]
		teller := Of(p)
		said := map[int]string{}
		for _, m := range p.Months {
			for _, i := range teller.Reading(m.Number) {
				text := string(teller.Step(i).Together)
				if text == "" {
					continue
				}
				c := p.Steps[i].Chain
				if said[c] != "" {
					t.Errorf("%s: chain %d is told twice: “%s”, “%s”", name, c, said[c], text)
				}
				said[c] = text
			}
		}
		units := map[int]map[string]bool{}
		for _, s := range p.Steps {
			if s.Chain > 0 {
				if units[s.Chain] == nil {
					units[s.Chain] = map[string]bool{}
				}
				units[s.Chain][s.Unit] = true
			}
		}
		for c, us := range units {
			if (len(us) > 1) != (said[c] != "") {
				t.Errorf("%s: of chain %d with %d units is said “%s”", name, c, len(us), said[c])
			}
			if said[c] == "" {
				continue
			}
			names := map[string]string{}
			for u := range us {
				names[u] = teller.names[u]
			}
			l := listen(teller.in, names, nil)
			ways := l.hear(said[c], "together", "together.two", "together.numbered", "together.again")
			if len(ways) != 1 {
				t.Errorf("%s: “%s” is heard in %d ways: %v", name, said[c], len(ways), ways)
				continue
			}
			told++
			var heard []value
			switch s := ways[0].slots; ways[0].key {
			case "together":
				heard = s["list"].list
			case "together.two", "together.numbered":
				for k := int(s["first"].n); k <= int(s["last"].n); k++ {
					heard = append(heard, l.refs(fmt.Sprintf("%s %d", s["noun"].word, k))...)
				}
			default:
				continue
			}
			for _, v := range heard {
				delete(names, v.ref.id)
			}
			if len(heard) != len(us) || len(names) > 0 {
				t.Errorf("%s: “%s” names %v, the chain has %v", name, said[c], heard, us)
			}
		}
	}
	if told < 50 {
		t.Errorf("%d chains told", told)
	}
}

// Each block that can be sewn as a web, and no other, is told how, once: where the first of its rows is told, with as many rows and columns as it has.
func TestWebsAreTold(t *testing.T) {
	all := plans(t)
	told := map[string]int{}
	for _, name := range names(all) {
		p := all[name]
		teller := Of(p)
		webs := map[string]*plan.Unit{}
		for _, b := range p.Blocks {
			if u := teller.units[b.Unit]; u.Web != nil {
				webs[u.ID] = u
			}
		}
		for i := range p.Steps {
			text := string(teller.Step(i).Web)
			if text == "" {
				continue
			}
			found := false
			for id, u := range webs {
				if hasPart(u, p.Steps[i].Unit) {
					found = true
					delete(webs, id)
					ways := listen(teller.in, nil, nil).sentences(text)
					if len(ways) != 1 {
						t.Errorf("%s: “%s” is heard in %d ways", name, text, len(ways))
						break
					}
					lay, press := ways[0][0], ways[0][len(ways[0])-1]
					told[lay.key]++
					if int(lay.slots["rows"].n) != u.Web.Rows || int(lay.slots["columns"].n) != u.Web.Columns {
						t.Errorf("%s: “%s” is said of %v", name, text, *u.Web)
					}
					upright := u.Joins[0].Seam[0][0] == u.Joins[0].Seam[1][0]
					n, line, on := u.Web.Columns, "row", "column"
					if upright {
						n, line, on = u.Web.Rows, "column", "row"
					}
					if (lay.key == "web.columns") != upright || press.key != "web.press" || press.slots["line"].word != line || press.slots["lines"].word != line {
						t.Errorf("%s: “%s” is said of lines along %v", name, text, u.Joins[0].Seam)
					}
					goes := map[int]string{2: "web.press", 3: "web.on", 4: "web.on.two"}[n]
					if n > 4 {
						goes = "web.on.to"
					}
					if h := ways[0][1]; h.key != goes || n > 2 && h.slots["noun"].word != on || n > 4 && int(h.slots["last"].n) != n {
						t.Errorf("%s: of %d across, “%s” goes on with %v", name, n, text, h)
					}
					break
				}
			}
			if !found {
				t.Errorf("%s: step %d tells of a web that there is not: “%s”", name, i, text)
			}
		}
		for id := range webs {
			t.Errorf("%s: the web %s is not told", name, id)
		}
	}
	if told["web.rows"] < 20 || told["web.columns"] < 1 {
		t.Errorf("webs told: %v", told)
	}
}
