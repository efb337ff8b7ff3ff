package words

import "quiltwright/internal/plan"

// SampleSteps are the steps after which a sample of a month is kept, as indices into the plan's steps.
func (t *Teller) SampleSteps(month int, s *plan.Sample) []int {
	var out []int
	for i := range t.p.Steps {
		if st := &t.p.Steps[i]; st.Month == month && st.Recipe == s.Recipe {
			out = append(out, i)
		}
	}
	return out
}

// SampleTakes is what is cut for a sample, and how often it is begun where what is begun is cut apart.
func (t *Teller) SampleTakes(s *plan.Sample) Text {
	var list []string
	for _, p := range s.Pieces {
		list = append(list, t.in.say("samples.piece", "label", label(p.Piece), "count", p.Count))
	}
	says := t.in.say("samples.takes", "list", t.list(list))
	if s.Batches > 1 && s.Batches < len(s.After) {
		says += " " + t.in.say("samples.batches", "count", t.number(s.Batches))
	}
	return Text(says)
}
