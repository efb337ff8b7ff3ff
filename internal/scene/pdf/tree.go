package pdf

import (
	"strings"

	"github.com/carlos7ags/folio/core"

	"quiltwright/internal/scene"
)

// elem is an element of the structure tree.
type elem struct {
	tag   string
	alt   string
	ref   *core.PdfIndirectReference
	kids  []kid
	page  int
	box   *[4]scene.Pt        // of a figure or link, in the page's own coordinates
	annot *core.PdfDictionary // of a link
	aref  *core.PdfIndirectReference
}

// kid is an element below, or content on a page.
type kid struct {
	elem *elem
	page int
	mcid int
}

// container reports that an element holds other elements only: lines drawn there are decoration, and text is
// a paragraph of its own.
func (e *elem) container() bool {
	switch scene.Tag(e.tag) {
	case "Document", scene.Section, scene.Table, scene.TableRow, scene.List, scene.ListItem, scene.BlockQuote:
		return true
	}
	return false
}

func (w *writer) child(of *elem, tag string) *elem {
	e := &elem{tag: tag, ref: w.reserve()}
	of.kids = append(of.kids, kid{elem: e})
	return e
}

// links returns the links on a page, in order.
func (e *elem) links(page int) []*elem {
	var out []*elem
	if e.annot != nil && e.page == page {
		out = append(out, e)
	}
	for _, k := range e.kids {
		if k.elem != nil {
			out = append(out, k.elem.links(page)...)
		}
	}
	return out
}

// link adds the annotation of a link: to a mark of this document, or to an address.
func (c *canvas) link(e *elem, target string) {
	d := dict("Type", name("Annot"), "Subtype", name("Link"), "F", integer(4),
		"Rect", rect(e.box), "Border", core.NewPdfArray(integer(0), integer(0), integer(0)),
		"Contents", str(strings.TrimPrefix(target, "#")))
	if mark, ok := strings.CutPrefix(target, "#"); ok {
		to, err := c.w.goTo(mark)
		if err != nil {
			c.err = err
			return
		}
		d.Set("Dest", to)
	} else {
		d.Set("A", dict("S", name("URI"), "URI", core.NewPdfLiteralString(target)))
	}
	e.annot, e.aref = d, c.w.add(d)
	c.annots.Add(e.aref)
}

func rect(b *[4]scene.Pt) *core.PdfArray {
	return core.NewPdfArray(real(b[0]), real(b[1]), real(b[2]), real(b[3]))
}

// structure writes the tree and returns its root.
func (w *writer) structure() *core.PdfIndirectReference {
	root := w.reserve()
	w.element(w.root, root)
	nums := core.NewPdfArray()
	for i, p := range w.parents {
		nums.Add(integer(i))
		if a, ok := p.(*core.PdfArray); ok {
			p = w.add(a)
		}
		nums.Add(p)
	}
	w.put(root, dict("Type", name("StructTreeRoot"), "K", core.NewPdfArray(w.root.ref),
		"ParentTree", w.add(dict("Nums", nums)), "ParentTreeNextKey", integer(len(w.parents))))
	return root
}

func (w *writer) element(e *elem, parent *core.PdfIndirectReference) {
	d := dict("Type", name("StructElem"), "S", name(e.tag), "P", parent)
	kids := core.NewPdfArray()
	for _, k := range e.kids {
		if k.elem != nil {
			w.element(k.elem, e.ref)
			kids.Add(k.elem.ref)
			continue
		}
		kids.Add(dict("Type", name("MCR"), "Pg", w.pageRefs[k.page], "MCID", integer(k.mcid)))
	}
	if e.annot != nil {
		kids.Add(dict("Type", name("OBJR"), "Obj", e.aref, "Pg", w.pageRefs[e.page]))
	}
	d.Set("K", kids)
	if e.alt != "" {
		d.Set("Alt", str(e.alt))
	}
	switch {
	case e.tag == string(scene.TableHead):
		d.Set("A", dict("O", name("Table"), "Scope", name("Column")))
	case e.tag == string(scene.Figure) && e.box != nil:
		d.Set("A", dict("O", name("Layout"), "BBox", rect(e.box), "Placement", name("Block")))
	}
	w.put(e.ref, d)
}

// outline writes the bookmarks and returns their root.
func (w *writer) outline() (*core.PdfIndirectReference, error) {
	type node struct {
		ref   *core.PdfIndirectReference
		d     *core.PdfDictionary
		level int
		kids  []*node
		all   int
	}
	root := &node{ref: w.reserve(), d: dict("Type", name("Outlines"))}
	path := []*node{root}
	for _, b := range w.doc.Contents {
		to, err := w.goTo(b.Mark)
		if err != nil {
			return nil, err
		}
		for len(path) > 1 && path[len(path)-1].level >= b.Level {
			path = path[:len(path)-1]
		}
		up := path[len(path)-1]
		n := &node{ref: w.reserve(), level: b.Level, d: dict("Title", str(b.Title), "Parent", up.ref, "Dest", to)}
		up.kids = append(up.kids, n)
		path = append(path, n)
	}
	var close func(n *node)
	close = func(n *node) {
		for i, k := range n.kids {
			if i > 0 {
				k.d.Set("Prev", n.kids[i-1].ref)
			}
			if i+1 < len(n.kids) {
				k.d.Set("Next", n.kids[i+1].ref)
			}
			close(k)
			n.all += 1
		}
		if len(n.kids) > 0 {
			n.d.Set("First", n.kids[0].ref)
			n.d.Set("Last", n.kids[len(n.kids)-1].ref)
			// Below the first level the outline begins folded, which a negative count says.
			if n == root {
				n.d.Set("Count", integer(n.all))
			} else {
				n.d.Set("Count", integer(-n.all))
			}
		}
		w.put(n.ref, n.d)
	}
	close(root)
	return root.ref, nil
}
