package words

import (
	"slices"
)

// watched is a join that is sewn with one part on top because its seams must be watched.
type watched struct {
	top, under string // what the parts are called
	points     int    // of the upper part that the needle must hit
}

// watch finds out of joins that are sewn one after the other which part lies on top. Where it has points, that is told; where its seams only must not be
// turned over it is kept for a remark.
func (n *narrator) watch(joins []joined) {
	u := n.units[n.b.r.Unit]
	var all []watched
	for i := range joins {
		join := joins[i].seam.joined
		if join == nil || u == nil {
			continue
		}
		under := join.Parts[0] + join.Parts[1] - join.Top
		if under < 0 || under >= len(u.Parts) || join.Top < 0 || join.Top >= len(u.Parts) || join.Watched == "" {
			continue
		}
		all = append(all, watched{n.ref(u.Parts[join.Top].Unit), n.ref(u.Parts[under].Unit), len(join.Watch)})
	}
	var names []string // that have points
	every, both := false, false
	for _, w := range all {
		if w.points == 0 {
			continue
		}
		every = every || w.points > 1
		both = both || slices.ContainsFunc(all, func(o watched) bool { return o.under == w.top })
		if !slices.Contains(names, w.top) {
			names = append(names, w.top)
		}
	}
	if both { // what lies on top at one seam lies below at another
		n.tell(joins[0].work, n.say("watch.each"))
		return
	}
	for _, w := range all {
		switch {
		case w.points > 0 || slices.Contains(names, w.top):
		case slices.ContainsFunc(all, func(o watched) bool { return o.under == w.top }):
			n.notes(n.say("note.top.of", "thing", w.top, "under", w.under))
		default:
			n.notes(n.say("note.top", "thing", w.top))
		}
	}
	switch {
	case len(names) > 1:
		n.tell(joins[0].work, n.say("watch.all", "list", n.list(names)))
	case len(names) == 1 && every:
		n.tell(joins[0].work, n.say("watch.every", "thing", names[0]))
	case len(names) == 1:
		n.tell(joins[0].work, n.say("watch.one", "thing", names[0]))
	}
}
