package quilt

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"quiltwright/internal/diag"
)

// named returns the block with that name, nil where there is none.
func (r *reader) named(name string) *Block {
	if len(r.byName) != len(r.doc.Blocks) {
		r.byName = map[string]*Block{}
		for _, b := range r.doc.Blocks {
			r.byName[b.Name] = b
		}
	}
	return r.byName[name]
}

// check looks at what the parts of the document say about each other; months says whether the months could be read without an error.
func (r *reader) check(months bool) {
	r.cycles()
	r.recolors()
	r.sizes()
	r.count()
	if len(r.doc.Months) > 0 && months && (r.doc.Set != nil) == r.hasSet {
		r.programme()
	}
}

// cycles reports every block that contains itself, and empties the cell that closes the circle.
func (r *reader) cycles() {
	const (
		unseen = iota
		open
		done
	)
	state := map[string]int{}
	var path []string
	var visit func(b *Block)
	visit = func(b *Block) {
		state[b.Name] = open
		path = append(path, b.Name)
		for _, row := range b.Cells {
			for i := range row {
				c := &row[i]
				if c.Block == "" {
					continue
				}
				switch state[c.Block] {
				case open:
					circle := append(slices.Clone(path[slices.Index(path, c.Block):]), c.Block)
					bad := r.errorf(c.At, "cycle", "block %s contains itself", c.Block)
					if len(circle) > 2 {
						bad.Remedy = strings.Join(circle, " contains ")
					}
					bad.Block = b.Name
					b.Broken = true
					*c = Cell{At: c.At}
				case unseen:
					visit(r.named(c.Block))
				}
			}
		}
		path = path[:len(path)-1]
		state[b.Name] = done
	}
	for _, b := range r.doc.Blocks {
		if state[b.Name] == unseen {
			visit(b)
		}
	}
}

// Letters returns the fabrics of the named block, those of blocks in its cells included (as recoloured there), in the order in which
// they appear; empty for a name that no block has. The document must come from Read, so that no block contains itself.
func (d *Document) Letters(name string) []string { return (&lettering{doc: d}).of(name) }

// lettering remembers the fabrics of blocks.
type lettering struct {
	doc   *Document
	known map[string][]string
}

func (l *lettering) of(name string) []string {
	if known, ok := l.known[name]; ok {
		return known
	}
	b := l.doc.Named(name)
	if b == nil {
		return nil
	}
	var out []string
	seen := map[string]bool{"": true}
	add := func(letters string) {
		if !seen[letters] {
			seen[letters] = true
			out = append(out, letters)
		}
	}
	for _, f := range b.Fill {
		add(f.Fabric)
	}
	add(b.Ground)
	for _, row := range b.Cells {
		for _, c := range row {
			add(c.Fabric)
			for _, f := range c.Fabrics {
				add(f)
			}
			if c.Block != "" {
				for _, f := range l.of(c.Block) {
					if to, ok := c.Recolor[f]; ok {
						f = to
					}
					add(f)
				}
			}
		}
	}
	if l.known == nil {
		l.known = map[string][]string{}
	}
	l.known[name] = out
	return out
}

// recolors reports fabrics that a cell replaces and its block does not have.
func (r *reader) recolors() {
	l := &lettering{doc: r.doc}
	for _, c := range r.recolored {
		b := r.named(c.block)
		if has := l.of(c.block); b != nil && !b.Broken && !slices.Contains(has, c.letters) {
			r.errorf(c.at, "unknown-name", "block %s has no fabric %s", c.block, c.letters).Remedy = "its fabrics: " + strings.Join(has, ", ")
		}
	}
}

// Sole returns the block that a document without a set describes: the first that no other block uses. nil without blocks.
func (d *Document) Sole() *Block {
	used := map[string]bool{}
	for _, b := range d.Blocks {
		for _, row := range b.Cells {
			for _, c := range row {
				used[c.Block] = true
			}
		}
	}
	for _, b := range d.Blocks {
		if !used[b.Name] {
			return b
		}
	}
	return nil
}

// sizes reports blocks that stand in the set, or are the whole quilt, and have no size of their own.
func (r *reader) sizes() {
	missing := func(b *Block) {
		if b != nil && b.SizeAt.IsZero() && !b.Broken {
			r.errorf(b.At, "missing", "block %s needs the key “size”", b.Name).Remedy = "for example  size: 12"
		}
	}
	if r.doc.Set == nil {
		if !r.hasSet {
			missing(r.doc.Sole())
		}
		return
	}
	blocks := false
	for _, row := range r.doc.Set.Rows {
		for _, c := range row {
			if c.Block != "" {
				blocks = true
				missing(r.named(c.Block))
			}
		}
	}
	if !blocks && len(r.doc.Set.Rows) > 0 && !r.found.HasErrors() {
		r.errorf(r.doc.Set.At, "missing", "the set holds no block, so its cells have no size").Remedy = "put a block into its rows"
	}
}

// count reports a quilt of more cells than one could sew; cells inside blocks count as often as the block is used.
func (r *reader) count() {
	known := map[string]int{}
	add := func(a, b int) int { return min(a+b, maxCells+1) }
	var of func(rows [][]Cell) int
	of = func(rows [][]Cell) int {
		n := 0
		for _, row := range rows {
			for _, c := range row {
				if b := r.named(c.Block); b != nil && b.Cells != nil {
					if _, ok := known[c.Block]; !ok {
						known[c.Block] = of(b.Cells)
					}
					n = add(n, known[c.Block])
				} else {
					n = add(n, 1)
				}
			}
		}
		return n
	}
	for _, b := range r.doc.Blocks {
		if n := of(b.Cells); n > maxCells {
			r.errorf(b.At, "limit", "block %s comes to more than %d cells", b.Name, maxCells)
			b.Cells, b.Broken = nil, true
			known = map[string]int{}
		}
	}
	if s := r.doc.Set; s != nil {
		if n := of(s.Rows); n*s.Across*s.Down > maxCells || of(s.Laid()) > maxCells {
			r.errorf(s.At, "limit", "the quilt comes to more than %d cells", maxCells)
			s.Across, s.Down = 1, 1
			if n > maxCells {
				s.Rows, s.RowPlaces = nil, nil
			}
		}
	}
}

// variant is a block as a month makes it, in a form that can be compared.
type variant struct {
	key, says, block, recolor string
	mirror                    bool
}

// variantOf leaves out of recolor what the block does not have.
func (l *lettering) variantOf(block string, recolor map[string]string, mirror bool) variant {
	v := variant{key: block, says: block, block: block, mirror: mirror}
	has := l.of(block)
	var changes []string
	for _, from := range slices.Sorted(maps.Keys(recolor)) {
		if slices.Contains(has, from) {
			changes = append(changes, from+": "+recolor[from])
		}
	}
	if mirror {
		v.key += "\x00mirror"
		v.says += ", mirrored"
	}
	if len(changes) > 0 {
		v.recolor = strings.Join(changes, ", ")
		v.key += "\x00" + v.recolor
		v.says += ", recoloured {" + v.recolor + "}"
	}
	return v
}

// programme compares what the months make with what the set uses, variant by variant.
func (r *reader) programme() {
	d := r.doc
	l := &lettering{doc: d}
	uses := map[string]int{}
	var order []variant
	use := func(c Cell) {
		v := l.variantOf(c.Block, c.Recolor, c.Mirror)
		if uses[v.key] == 0 {
			order = append(order, v)
		}
		uses[v.key]++
	}
	whole := true // the set could be read, so that its uses can be counted
	if d.Set != nil {
		for _, row := range d.Set.Laid() {
			for _, c := range row {
				switch {
				case c.Block != "":
					use(c)
				case c.Fabric == "" && c.Unit == "":
					whole = false
				}
			}
		}
		whole = whole && len(d.Set.Rows) > 0
	} else if b := d.Sole(); b != nil {
		use(Cell{Block: b.Name})
	}
	makes := map[string]int{}
	last := map[string]diag.Pos{}
	blocksAt := 0
	for i, m := range d.Months {
		for _, b := range m.Blocks {
			v := l.variantOf(b.Block, b.Recolor, b.Mirror)
			makes[v.key] += b.Count
			last[v.key] = b.At
			blocksAt = i
			if uses[v.key] == 0 && whole {
				r.unused(b, v, order)
				uses[v.key] = -1
			}
		}
	}
	if whole {
		for _, v := range order {
			want, made := uses[v.key], makes[v.key]
			switch {
			case made == 0:
				r.errorf(d.Months[0].At, "programme", "no month makes %s, which the quilt uses %s", v.says, times(want)).Remedy = v.listed(want)
			case made != want:
				r.errorf(last[v.key], "programme", "the months make %d of %s, the quilt uses %d", made, v.says, want).Remedy = difference(made - want)
			}
		}
	}
	r.ending(blocksAt)
}

// unused reports a block that a month makes and the quilt does not use; order holds what it uses.
func (r *reader) unused(b MonthBlock, v variant, order []variant) {
	f := r.errorf(b.At, "programme", "the months make %s, which the quilt does not use", v.says)
	var others []string
	for _, o := range order {
		if o.block == b.Block {
			others = append(others, o.says)
		}
	}
	if len(others) > 0 {
		f.Remedy = "it uses: " + strings.Join(others, "; ")
	} else if r.doc.Set != nil && len(order) > 0 {
		f.Remedy = "a block that stands only inside other blocks is made with them"
	}
}

// listed is how a month lists so many of the variant.
func (v variant) listed(n int) string {
	parts := []string{"block: " + v.block}
	if v.recolor != "" {
		parts = append(parts, "recolor: {"+v.recolor+"}")
	}
	if v.mirror {
		parts = append(parts, "mirror: true")
	}
	return fmt.Sprintf("in a month's blocks:  - {%s, count: %d}", strings.Join(parts, ", "), n)
}

func times(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	default:
		return fmt.Sprintf("%d times", n)
	}
}

func difference(d int) string {
	if d < 0 {
		return fmt.Sprintf("%d more to make", -d)
	}
	return fmt.Sprintf("%d too many", d)
}

// ending checks the months that set and finish the top; blocks is the last month that makes a block.
func (r *reader) ending(blocks int) {
	d := r.doc
	set, finish := -1, -1
	for i, m := range d.Months {
		if m.Set {
			if set >= 0 {
				f := r.errorf(m.At, "programme", "a second month sets the top")
				f.Notes = []diag.Note{{At: d.Months[set].At, Says: "the first is here"}}
			} else {
				set = i
			}
		}
		if m.Finish {
			if finish >= 0 {
				f := r.errorf(m.At, "programme", "a second month finishes the quilt")
				f.Notes = []diag.Note{{At: d.Months[finish].At, Says: "the first is here"}}
			} else {
				finish = i
			}
		}
	}
	switch {
	case d.Set == nil && set >= 0:
		r.errorf(d.Months[set].At, "programme", "this month sets the top, but the quilt is one block").Remedy = "take set: true out"
	case d.Set != nil && set < 0:
		r.errorf(d.Months[len(d.Months)-1].At, "programme", "no month sets the top").Remedy = "add set: true to the last month that sews"
	case set >= 0 && set < blocks:
		r.errorf(d.Months[set].At, "programme", "this month sets the top before month %d has made its blocks", blocks+1)
	}
	if finish >= 0 && finish < max(set, blocks) {
		r.errorf(d.Months[finish].At, "programme", "this month finishes the quilt before month %d has sewn its part", max(set, blocks)+1)
	}
	if finish >= 0 && d.Finish == (Finish{}) {
		r.errorf(d.Months[finish].At, "programme", "this month finishes the quilt, but the document has no finish").Remedy = "add finish with binding, backing or batting"
	}
}

// Fresh returns those of the findings of later phases that do not merely echo what Read has found: all of them where it found no
// error; else errors about blocks that Read could read whole.
func (d *Document) Fresh(read, later diag.List) diag.List {
	if !read.HasErrors() {
		return later
	}
	var out diag.List
	for _, f := range later {
		if b := d.Named(f.Block); f.Severity == diag.Error && b != nil && !b.Broken {
			out.Add(f)
		}
	}
	return out
}
