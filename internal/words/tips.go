package words

import (
	"math"
	"slices"
	"strconv"

	"quiltwright/internal/plan"
)

// tips tells how points of parts are trimmed before anything is sewn, from operation i on, and returns the next; i where it is something else that is
// trimmed. Parts that are cut from one piece and lose as many points alike are one sentence.
func (n *narrator) tips(i, last int) int {
	u := n.units[n.r.Unit]
	if u == nil {
		return i
	}
	type sentence struct {
		id, past string
		angle    plan.Num
		points   int
	}
	var order []sentence
	parts := map[sentence]int{}
	for ; i <= last && n.ops[i].Op == "trim" && len(n.b.work(n.ops[i].Work).lying) == 1; i++ {
		part := n.ops[i].Work
		var own []sentence
		for _, t := range u.Tips {
			if t.Part != part || part >= len(n.b.parts) {
				continue
			}
			s := sentence{n.b.parts[part].id, n.About(t.In), t.Angle, 0}
			k := slices.IndexFunc(own, func(o sentence) bool { return o.past == s.past && math.Abs(float64(o.angle-s.angle)) < 0.5 })
			if k < 0 {
				k, own = len(own), append(own, s)
			}
			own[k].points++
		}
		if len(own) == 0 {
			break
		}
		for _, s := range own {
			if parts[s] == 0 {
				order = append(order, s)
			}
			parts[s]++
		}
	}
	for _, s := range order {
		alike := 0
		for _, p := range n.b.parts {
			if p.id == s.id {
				alike++
			}
		}
		thing := n.ref(s.id)
		switch {
		case alike == parts[s] && alike > 1:
			thing = n.say("each", "thing", thing)
		case alike > 1 && parts[s] == 1:
			thing = n.say("one of them", "thing", thing)
		case alike > 1:
			thing = n.many(parts[s], s.id)
		}
		points := n.say("points." + strconv.Itoa(min(s.points, 4)))
		if angle := int(math.Round(float64(s.angle))); angle != 90 {
			n.tell(-1, n.say("trim.tips.angle", "points", points, "thing", thing, "past", s.past, "angle", angle))
		} else {
			n.tell(-1, n.say("trim.tips", "points", points, "thing", thing, "past", s.past))
		}
	}
	return i
}
