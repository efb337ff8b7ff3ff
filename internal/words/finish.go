package words

import (
	"strconv"

	"quiltwright/internal/plan"
)

// Finish is binding, backing and batting, a sentence each, as far as the plan has them.
func (t *Teller) Finish() []Text {
	var out []Text
	if b := t.p.Finish.Binding; b != nil && b.Square > 0 {
		out = append(out, Text(t.in.say("finish.binding.bias", "square", t.length(b.Square), "fabric", t.Fabric(b.Fabric), "strip", t.length(b.Strip), "length", t.length(b.Length))))
	} else if b != nil && b.Strips == 1 {
		out = append(out, Text(t.in.say("finish.binding.one", "strip", t.length(b.Strip), "fabric", t.Fabric(b.Fabric), "length", t.length(b.Length))))
	} else if b != nil && b.Along > 0 {
		out = append(out, Text(t.in.say("finish.binding.along", "count", b.Strips, "noun", t.in.noun(b.Strips, "strip"), "strip", t.length(b.Strip), "long", t.length(b.Along), "fabric", t.Fabric(b.Fabric), "length", t.length(b.Length))))
	} else if b != nil {
		out = append(out, Text(t.in.say("finish.binding", "count", b.Strips, "noun", t.in.noun(b.Strips, "strip"), "strip", t.length(b.Strip), "fabric", t.Fabric(b.Fabric), "length", t.length(b.Length))))
	}
	if b := t.p.Finish.Backing; b != nil {
		out = append(out, t.backing(b))
	}
	if b := t.p.Finish.Batting; b != nil {
		out = append(out, Text(t.in.say("finish.batting", "size", t.by(b.Size.Width, b.Size.Height))))
	}
	return out
}

// backing is what is bought and sewn for the back.
func (t *Teller) backing(b *plan.Backing) Text {
	name := b.Name
	if name == "" {
		name = t.in.say("backing.cloth")
	}
	size, amount := t.by(b.Size.Width, b.Size.Height), t.Amount(b.Amount, b.Unit)
	switch {
	case b.Panels <= 1:
		return Text(t.in.say("finish.backing.one", "size", size, "name", name, "amount", amount))
	case b.Seams == "horizontal":
		return Text(t.in.say("finish.backing.horizontal", "size", size, "name", name, "count", b.Panels, "panel", t.length(b.Panel), "amount", amount))
	}
	return Text(t.in.say("finish.backing.vertical", "size", size, "name", name, "count", b.Panels, "panel", t.length(b.Panel), "amount", amount))
}

// SizeHelp says how to measure and what to do when a part comes out small or large.
func (t *Teller) SizeHelp() Text {
	return Text(t.in.say("size.help", "ease", t.length(t.p.Ease)))
}

// Month is the heading of a month: "Month 3: The steps", or its number alone where it has no
// title; empty for a quilt without a programme.
func (t *Teller) Month(m *plan.Month) Text {
	switch {
	case m.Title != "":
		return Text(t.in.say("month", "number", m.Number, "title", m.Title))
	case len(t.p.Months) > 1:
		return Text(t.in.say("month.plain", "number", m.Number))
	}
	return ""
}

// other is a step that no recipe makes.
func (t *Teller) other(s *plan.Step) Said {
	parts := make([]string, len(s.Says.Parts))
	for i, id := range s.Says.Parts {
		parts[i] = t.marked(id)
	}
	said := Said{}
	switch verb := s.Says.Verb; {
	case verb == "cut" && len(parts) == 0 && len(t.p.Months) > 1:
		said.Do = Text(t.in.say("do.cut"))
	case verb == "cut" && len(parts) == 0:
		said.Do = Text(t.in.say("do.cut.all"))
	case verb == "measure":
		said.Do = Text(t.in.say("do.measure", "parts", t.list(parts)))
	case verb == "back" && t.p.Finish.Backing != nil:
		b := t.p.Finish.Backing
		way := t.in.say("do.back.vertical")
		if b.Seams == "horizontal" {
			way = t.in.say("do.back.horizontal")
		}
		said.Do = Text(t.in.say("do.back", "count", s.Says.Count, "panel", t.length(b.Panel), "way", way))
		said.Check = Text(t.in.say("do.back.check", "size", t.by(b.Size.Width, b.Size.Height)))
	case verb == "layer":
		said.Do = Text(t.in.say("do.layer", "layers", t.list(t.under())))
	case verb == "even":
		said.Do = Text(t.in.say("do.even", "layers", t.list(t.under())))
	case verb == "lengthen" && t.p.Finish.Binding != nil:
		said.Do = Text(t.in.say("do.lengthen", "count", s.Says.Count, "width", t.length(s.Says.Width)))
		said.Check = Text(t.in.say("do.lengthen.check", "length", t.length(t.p.Finish.Binding.Length)))
	case verb == "bind" && s.Says.Width > 0:
		said.Do = Text(t.in.say("do.bind", "width", t.length(s.Says.Width)))
	case len(parts) > 1:
		said.Do = Text(t.in.say("do.join", "parts", t.list(parts)))
	default:
		said.Do = Text(t.in.say("do.plain", "thing", t.marked(s.Unit)))
	}
	if s.Size != nil {
		said.Check = Text(t.Size(s.Size[0], s.Size[1]))
	}
	return said
}

// under names what lies under the top.
func (t *Teller) under() []string {
	var out []string
	if t.p.Finish.Backing != nil {
		out = append(out, t.in.say("backing"))
	}
	if t.p.Finish.Batting != nil {
		out = append(out, t.in.say("batting"))
	}
	return out
}

// Pressing is how each seam of a unit is pressed, in the order of sewing: "A1 and B2: press toward
// the Slate triangle B2".
func (t *Teller) Pressing(id string) []Text {
	u := t.units[id]
	if u == nil {
		return nil
	}
	part := func(p int) string {
		if p < 0 || p >= len(u.Parts) {
			return t.in.say("the other part")
		}
		if q := t.units[u.Parts[p].Unit]; q != nil && q.Piece == "" && len(q.Parts) == 0 {
			return t.described(q.ID)
		}
		return t.marked(u.Parts[p].Unit)
	}
	toward := func(press string) (string, bool) {
		n, err := strconv.Atoi(trimWord(press, "toward "))
		if err != nil || n < 0 || n >= len(u.Parts) {
			return "", false
		}
		return t.described(u.Parts[n].Unit), true
	}
	var out []Text
	for _, j := range u.Joins {
		one, other := part(j.Parts[0]), part(j.Parts[1])
		switch target, ok := toward(j.Press); {
		case len(j.Split) > 0:
			var ways []string
			for _, s := range j.Split {
				way := t.in.say("turn.open")
				if target, ok := toward(s.Press); ok {
					way = t.in.say("turn.toward", "target", target)
				}
				if len(s.Spun) > 0 {
					way = t.in.say("pressing.spun.way", "way", way, "marks", t.spunMarks(len(s.Spun)))
				}
				ways = append(ways, t.in.say("pressing.batch", "count", s.Made, "way", way))
			}
			out = append(out, Text(t.in.say("pressing.split", "one", one, "other", other, "ways", t.list(ways))))
		case ok && len(j.Spun) > 0:
			out = append(out, Text(t.in.say("pressing.spun", "one", one, "other", other, "target", target, "marks", t.spunMarks(len(j.Spun)))))
		case ok:
			out = append(out, Text(t.in.say("pressing.toward", "one", one, "other", other, "target", target)))
		default:
			out = append(out, Text(t.in.say("pressing.open", "one", one, "other", other)))
		}
	}
	return out
}

func trimWord(s, word string) string {
	if len(s) > len(word) && s[:len(word)] == word {
		return s[len(word):]
	}
	return s
}
