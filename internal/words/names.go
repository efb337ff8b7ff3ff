package words

import (
	"slices"
	"sort"
	"strconv"
	"strings"

	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// Name is what a person calls a unit: the label of its piece, "half square of Slate and Fog",
// "goose, Slate on Fog", "row 2 of Ferry Light", a block's name. Different units have different
// names; an id the plan lacks is returned as it stands.
func (t *Teller) Name(id string) string { return Text(t.marked(id)).String() }

// marked is the name of a unit or piece with a label marked as one.
func (t *Teller) marked(id string) string {
	if u := t.units[id]; u != nil {
		if u.Piece != "" {
			return label(u.Piece)
		}
		return t.names[id]
	}
	if t.pieces[id] != nil {
		return label(id)
	}
	return id
}

// short is the noun for a unit alone ("the goose"), or the label of a piece.
func (t *Teller) short(id string) string {
	u := t.units[id]
	if u == nil || u.Piece != "" {
		return t.marked(id)
	}
	if u.Name != "" || t.rows[id] != "" {
		return t.names[id]
	}
	return t.in.say("the", "thing", t.noun(1, u))
}

// nameUnits gives every unit without a piece a name of its own.
func (t *Teller) nameUnits() {
	owner := t.owners()
	t.numberRows()
	shared := map[string][]*plan.Unit{}
	for i := range t.p.Units {
		u := &t.p.Units[i]
		if u.Piece == "" {
			name := t.baseName(u, owner[u.ID])
			t.names[u.ID], t.bases[u.ID] = name, name
			shared[name] = append(shared[name], u)
		}
	}
	taken := make([]string, 0, len(shared))
	for name := range shared {
		taken = append(taken, name)
	}
	sort.Strings(taken)
	for _, name := range taken {
		if us := shared[name]; len(us) > 1 {
			t.tellApart(name, us)
		}
	}
}

// tellApart names units that share a name by size where that is enough, else by number as well. A unit is told apart from those of
// its own and earlier months only, so that a later month never renames an earlier one.
func (t *Teller) tellApart(name string, us []*plan.Unit) {
	month := func(u *plan.Unit) int {
		if len(u.Months) == 0 {
			return 0
		}
		return u.Months[0].Month
	}
	size := func(u *plan.Unit) string {
		if near(u.Size.Width, u.Size.Height) {
			return t.length(u.Size.Width)
		}
		return t.by(u.Size.Width, u.Size.Height)
	}
	us = slices.Clone(us)
	slices.SortStableFunc(us, func(a, b *plan.Unit) int { return month(a) - month(b) })
	for i, u := range us {
		sizes, alike, number := map[string]bool{}, 0, 0
		for k, o := range us {
			if month(o) > month(u) {
				break
			}
			sizes[size(o)] = true
			if size(o) == size(u) {
				alike++
				if k <= i {
					number++
				}
			}
		}
		t.names[u.ID] = name
		if len(sizes) > 1 {
			t.names[u.ID] = t.in.say("name.sized", "name", name, "size", size(u))
			t.sizes[u.ID] = size(u)
		}
		if alike > 1 {
			t.names[u.ID] = t.in.say("name.numbered", "name", t.names[u.ID], "number", number)
			t.numbers[u.ID] = number
		}
	}
}

// owners maps each unit to the name of the first block it is part of.
func (t *Teller) owners() map[string]string {
	owner := map[string]string{}
	var mark func(id, name string)
	mark = func(id, name string) {
		if u := t.units[id]; u != nil && owner[id] == "" {
			owner[id] = name
			for _, p := range u.Parts {
				mark(p.Unit, name)
			}
		}
	}
	for _, b := range t.p.Blocks {
		mark(b.Unit, b.Name)
	}
	return owner
}

// called is a unit's own name. What a border has been sewn to is named "with border 1": it is the
// centre of the quilt, with that.
func (t *Teller) called(u *plan.Unit) string {
	if strings.HasPrefix(u.Name, "with ") {
		return t.in.say("name.with", "with", u.Name)
	}
	return u.Name
}

// noun is the word for n of a unit's kind. A row that no block has numbered is a short one, inside
// something larger.
func (t *Teller) noun(n int, u *plan.Unit) string {
	if u.Kind == "row" && u.Name == "" && t.rows[u.ID] == "" {
		return t.in.noun(n, "short row")
	}
	return t.in.noun(n, u.Kind)
}

// numberRows numbers the rows of each block from the top, or the columns from the left; a row that
// stands in several places has the number of the first.
func (t *Teller) numberRows() {
	for i := range t.p.Blocks {
		u := t.units[t.p.Blocks[i].Unit]
		if u == nil || len(u.Joins) == 0 {
			continue
		}
		across := 0
		order := make([]int, len(u.Parts))
		for k := range u.Parts {
			order[k] = k
			if q := t.units[u.Parts[k].Unit]; q == nil || q.Kind != "row" || q.Name != "" {
				across = -1
				break
			}
		}
		if across < 0 {
			continue
		}
		if s := u.Joins[0].Seam; near(s[0][0], s[1][0]) {
			across = 0
		} else {
			across = 1
		}
		sort.SliceStable(order, func(a, b int) bool {
			return t.partBox(u.Parts[order[a]])[across] < t.partBox(u.Parts[order[b]])[across]-slack
		})
		n := 0
		for _, k := range order {
			if id := u.Parts[k].Unit; t.rows[id] == "" {
				n++
				key := "name.row"
				if across == 0 {
					key = "name.column"
				}
				t.rows[id] = t.in.say(key, "number", n)
			}
		}
	}
}

// partBox is the top left corner of the box of a part in its unit.
func (t *Teller) partBox(p plan.Part) pt {
	u := t.units[p.Unit]
	if u == nil {
		return flat.At(p.At)
	}
	lo, _ := flat.Box(flat.Each(p.Pose(), outline(u.Outline)))
	return lo
}

func (t *Teller) baseName(u *plan.Unit, owner string) string {
	switch {
	case u.Kind == "top":
		return t.in.say("name.top")
	case u.Kind == "block":
		return u.Name
	case t.rows[u.ID] != "":
		return t.in.say("name.of", "thing", t.rows[u.ID], "owner", owner)
	case u.Name != "":
		if owner != "" {
			return t.in.say("name.of", "thing", t.called(u), "owner", owner)
		}
		return t.called(u)
	}
	noun := t.noun(1, u)
	letters := t.byArea(u)
	if len(letters) == 0 || len(letters) > 4 {
		if owner != "" {
			return t.in.say("name.of", "thing", noun, "owner", owner)
		}
		return noun
	}
	names := make([]string, len(letters))
	for i, l := range letters {
		names[i] = t.Fabric(l)
	}
	if (u.Kind == "flying geese" || u.Kind == "square in a square" || u.Kind == "snowball") && len(names) > 1 {
		return t.in.say("name.on", "thing", noun, "figure", names[0], "ground", t.list(names[1:]))
	}
	return t.in.say("name.cloth", "thing", noun, "fabrics", t.list(names))
}

// byArea are the fabrics of a unit: the one with the largest patch first, then the rest in the
// order of the parts.
func (t *Teller) byArea(u *plan.Unit) []string {
	var letters []string
	area := map[string]float64{}
	var walk func(u *plan.Unit, depth int)
	walk = func(u *plan.Unit, depth int) {
		if u == nil || depth > 64 {
			return
		}
		if len(u.Parts) == 0 && u.Fabric != "" {
			if _, known := area[u.Fabric]; !known {
				letters = append(letters, u.Fabric)
			}
			area[u.Fabric] = max(area[u.Fabric], areaOf(outline(u.Outline)))
		}
		for _, p := range u.Parts {
			walk(t.units[p.Unit], depth+1)
		}
	}
	walk(u, 0)
	sort.SliceStable(letters, func(i, j int) bool { return area[letters[i]] > area[letters[j]]+1e-9 })
	return letters
}

// shape is the noun for the shape of a patch once it is cut: "square", "triangle".
func (t *Teller) shape(u *plan.Unit) string {
	switch o := outline(u.Outline); len(o) {
	case 3:
		return t.in.noun(1, "triangle")
	case 4:
		if areaOf(o) > 0.999*float64(u.Size.Width*u.Size.Height) {
			if near(u.Size.Width, u.Size.Height) {
				return t.in.noun(1, "square")
			}
			return t.in.noun(1, "rectangle")
		}
		return t.in.noun(1, "patch")
	default:
		return t.in.noun(1, "patch")
	}
}

// described is a unit with its cloth: "the Slate triangle B2", else its marked name.
func (t *Teller) described(id string) string {
	u := t.units[id]
	if u == nil || u.Fabric == "" {
		return t.marked(id)
	}
	name := t.in.say("described", "fabric", t.Fabric(u.Fabric), "shape", t.shape(u))
	if u.Piece != "" {
		name += " " + label(u.Piece)
	}
	return name
}

// Title is the heading over a recipe: the unit in the plural and how it is made, such as
// "Geese, four at a time"; Of says how many and of what: "8 of Slate on Fog".
type Title struct{ Head, Of string }

// Title of the recipe with this id; empty where the plan lacks it.
func (t *Teller) Title(recipe string) Title {
	title := t.title(recipe)
	if way := t.Way(recipe); way != "" {
		title.Of = t.in.say("title.way", "of", title.Of, "way", way)
	}
	return title
}

// Way is which of the two pressings of its unit a recipe makes, such as "first pressing"; empty where there is one only.
func (t *Teller) Way(recipe string) string {
	if r := t.recipes[recipe]; r != nil && t.bothWays(r.Unit) {
		return t.in.say(wayKeys[r.Way&1])
	}
	return ""
}

func (t *Teller) title(recipe string) Title {
	r := t.recipes[recipe]
	if r == nil || t.units[r.Unit] == nil {
		return Title{}
	}
	u := t.units[r.Unit]
	made := 0
	for _, m := range r.Makes {
		if m.Unit == r.Unit {
			made += m.Count * r.Batches
		}
	}
	noun := t.noun(made, u)
	if u.Name != "" || t.rows[u.ID] != "" {
		return Title{Head: capital(t.names[u.ID]), Of: t.in.say("title.makes", "count", made)}
	}
	head := capital(noun)
	key := "method." + r.Method
	if own := key + "." + u.Kind; t.in[own] != "" {
		key = own
	}
	if t.in[key] != "" && (r.Method != "joined" || allPieces(r)) {
		head = t.in.say("title", "noun", head, "method", t.in.say(key))
	}
	if u.Kind == "top" {
		return Title{Head: capital(t.names[u.ID])}
	}
	of := strings.TrimSpace(strings.TrimPrefix(t.bases[u.ID], t.noun(1, u)))
	of = strings.TrimSpace(strconv.Itoa(made) + " " + of)
	if size := t.sizes[u.ID]; size != "" {
		of = t.in.say("title.sized", "of", of, "size", size)
	}
	if n := t.numbers[u.ID]; n > 0 {
		of = t.in.say("name.numbered", "name", of, "number", n)
	}
	for _, m := range r.Makes {
		if m.Unit != r.Unit {
			of = t.in.say("title.hands", "of", of, "thing", t.Hand(m.Unit))
		}
	}
	return Title{Head: head, Of: of}
}

// Hand is what a unit is called beside its mirror image: by its number, where it has one.
func (t *Teller) Hand(unit string) string {
	if n := t.numbers[unit]; n > 0 {
		return t.in.say("name.no", "number", n)
	}
	return t.Name(unit)
}

// allPieces says whether a recipe takes pieces only, no sewn units.
func allPieces(r *plan.Recipe) bool {
	for _, f := range r.From {
		if f.Piece == "" {
			return false
		}
	}
	return true
}
