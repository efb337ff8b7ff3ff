package figure

import (
	"sort"
	"strings"
)

// alt describes panels: what lies face up, what lies face down on it, lines, seams and pressing.
func (d *Drawer) alt(ps []panel) string {
	var out []string
	for i := range ps {
		p := &ps[i]
		var up, down []string
		switch {
		case p.apart != nil:
			var names []string
			for _, a := range p.apart {
				names = append(names, d.say.Name(a.id))
			}
			out = append(out, d.say.AltApart(names))
			continue
		case p.work == nil:
			continue
		}
		sewn := 0
		for k := range p.work.Layers {
			l := &p.work.Layers[k]
			name := p.labels[l.Part]
			if name == "" {
				name = d.say.Fabric(l.Fabric)
			}
			if l.FaceUp {
				up = append(up, name)
			} else {
				down = append(down, name)
			}
		}
		for _, s := range p.work.Seams {
			if s.N >= 0 && s.State == "sewn" {
				sewn++
			}
		}
		out = append(out, d.say.AltState(counted(up), counted(down), len(p.work.Marks), sewn, len(p.pressed)))
	}
	return d.say.AltSteps(out)
}

// counted lists names once each with how often they stand there: "2 × A4".
func counted(names []string) []string {
	n := map[string]int{}
	var order []string
	for _, s := range names {
		if n[s] == 0 {
			order = append(order, s)
		}
		n[s]++
	}
	sort.Strings(order)
	for i, s := range order {
		if n[s] > 1 {
			order[i] = strings.Join([]string{itoa(n[s]), "×", s}, " ")
		}
	}
	return order
}
