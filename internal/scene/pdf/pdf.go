// Package pdf writes a scene.Document as a tagged PDF: structure with alternative texts, fonts cut
// down to what is used and readable back as text, links, bookmarks and metadata. The bytes depend on
// the document alone.
package pdf

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"fmt"
	"sync"

	"github.com/carlos7ags/folio/core"

	"quiltwright/internal/scene"
)

// Write returns the document as a PDF file. A document without pages is an error, as is a picture
// that is neither JPEG nor PNG, or a link to a mark that no page has.
func Write(doc scene.Document) ([]byte, error) {
	if len(doc.Pages) == 0 {
		return nil, fmt.Errorf("a document needs at least one page")
	}
	w := &writer{doc: doc, marks: map[string]place{}, images: map[[32]byte]*picture{}}
	w.catalog = w.reserve()
	w.pages = w.reserve()
	for i, p := range doc.Pages {
		w.pageRefs = append(w.pageRefs, w.reserve())
		w.findMarks(i, scene.Outer, p.Items)
	}
	w.root = &elem{tag: "Document", ref: w.reserve()}
	for i, p := range doc.Pages {
		if err := w.page(i, p); err != nil {
			return nil, fmt.Errorf("page %d: %w", i+1, err)
		}
	}
	if err := w.finish(); err != nil {
		return nil, err
	}
	return w.bytes()
}

// writer collects the objects of one file.
type writer struct {
	doc      scene.Document
	objects  []core.PdfObject
	catalog  *core.PdfIndirectReference
	pages    *core.PdfIndirectReference
	pageRefs []*core.PdfIndirectReference
	fonts    [len(fontNames)]used
	marks    map[string]place
	images   map[[32]byte]*picture
	root     *elem
	parents  []core.PdfObject // of the parent tree, by key
}

// fontNames are the names of the fonts in every page's resources, by scene.Font.
var fontNames = [...]string{"F0", "F1", "F2", "F3"}

// place is where a mark stands.
type place struct {
	page int
	y    scene.Pt
}

func (w *writer) add(o core.PdfObject) *core.PdfIndirectReference {
	w.objects = append(w.objects, o)
	return core.NewPdfIndirectReference(len(w.objects), 0)
}

func (w *writer) reserve() *core.PdfIndirectReference { return w.add(nil) }

func (w *writer) put(r *core.PdfIndirectReference, o core.PdfObject) { w.objects[r.Num()-1] = o }

func (w *writer) findMarks(page int, f scene.Frame, items []scene.Item) {
	for _, it := range items {
		g, ok := it.(scene.Group)
		if !ok {
			continue
		}
		in := f.Into(g)
		if g.Mark != "" {
			if _, taken := w.marks[g.Mark]; !taken {
				y := in.At.Y
				if b, ok := scene.Bounds(in, g.Items); ok {
					y = b.Lo.Y
				}
				w.marks[g.Mark] = place{page, max(0, y-8)}
			}
		}
		w.findMarks(page, in, g.Items)
	}
}

// goTo returns the destination of a mark.
func (w *writer) goTo(mark string) (*core.PdfArray, error) {
	p, ok := w.marks[mark]
	if !ok {
		return nil, fmt.Errorf("nothing on the pages is marked %q", mark)
	}
	h := w.doc.Pages[p.page].H
	return core.NewPdfArray(w.pageRefs[p.page], name("XYZ"), core.NewPdfNull(), real(h-p.y), core.NewPdfNull()), nil
}

// finish writes what stands once in a file: fonts, structure, outline, metadata.
func (w *writer) finish() error {
	kids := core.NewPdfArray()
	for _, r := range w.pageRefs {
		kids.Add(r)
	}
	fonts := core.NewPdfDictionary()
	for i := range w.fonts {
		if len(w.fonts[i].glyphs) > 0 {
			ref, err := w.font(scene.Font(i))
			if err != nil {
				return err
			}
			fonts.Set(fontNames[i], ref)
		}
	}
	objs := core.NewPdfDictionary()
	for _, im := range w.imageOrder() {
		objs.Set(im.name, im.ref)
	}
	res := dict("Font", fonts, "XObject", objs)
	w.put(w.pages, dict("Type", name("Pages"), "Kids", kids, "Count", integer(len(w.pageRefs)), "Resources", res))

	cat := dict("Type", name("Catalog"), "Pages", w.pages, "Lang", str(w.lang()),
		"MarkInfo", dict("Marked", core.NewPdfBoolean(true)),
		"ViewerPreferences", dict("DisplayDocTitle", core.NewPdfBoolean(true)),
		"StructTreeRoot", w.structure(),
		"Metadata", w.metadata())
	if len(w.doc.Contents) > 0 {
		out, err := w.outline()
		if err != nil {
			return err
		}
		cat.Set("Outlines", out)
		cat.Set("PageMode", name("UseOutlines"))
	}
	w.put(w.catalog, cat)
	return nil
}

func (w *writer) lang() string {
	if w.doc.Lang == "" {
		return "en"
	}
	return w.doc.Lang
}

// bytes lays the objects down one after the other with a cross-reference table.
func (w *writer) bytes() ([]byte, error) {
	info := w.add(w.info())
	var b bytes.Buffer
	b.WriteString("%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
	at := make([]int, len(w.objects))
	for i, o := range w.objects {
		at[i] = b.Len()
		fmt.Fprintf(&b, "%d 0 obj\n", i+1)
		if _, err := o.WriteTo(&b); err != nil {
			return nil, err
		}
		b.WriteString("\nendobj\n")
	}
	sum := sha256.Sum256(b.Bytes())
	id := core.NewPdfHexString(string(sum[:16]))
	xref := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(at)+1)
	for _, a := range at {
		fmt.Fprintf(&b, "%010d 00000 n \n", a)
	}
	b.WriteString("trailer\n")
	trailer := dict("Size", integer(len(at)+1), "Root", w.catalog, "Info", info, "ID", core.NewPdfArray(id, id))
	if _, err := trailer.WriteTo(&b); err != nil {
		return nil, err
	}
	fmt.Fprintf(&b, "\nstartxref\n%d\n%%%%EOF\n", xref)
	return b.Bytes(), nil
}

// compressed returns a stream of data deflated at a middling level: pages are made again with every change of a design, and the last
// hundredth of their size costs as much time as all the rest.
func compressed(data []byte) *core.PdfStream {
	z := deflaters.Get().(*deflater)
	defer deflaters.Put(z)
	z.out.Reset()
	z.to.Reset(&z.out)
	// Writing to memory does not fail.
	_, _ = z.to.Write(data)
	_ = z.to.Close()
	s := core.NewPdfStream(bytes.Clone(z.out.Bytes()))
	s.Dict.Set("Filter", name("FlateDecode"))
	return s
}

// deflater is kept for the next stream: making one costs more than a short stream.
type deflater struct {
	out bytes.Buffer
	to  *zlib.Writer
}

var deflaters = sync.Pool{New: func() any {
	z := &deflater{}
	z.to, _ = zlib.NewWriterLevel(&z.out, 5) // no error: the level is one of zlib's
	return z
}}

func dict(pairs ...any) *core.PdfDictionary {
	d := core.NewPdfDictionary()
	for i := 0; i < len(pairs); i += 2 {
		d.Set(pairs[i].(string), pairs[i+1].(core.PdfObject))
	}
	return d
}

func name(s string) *core.PdfName     { return core.NewPdfName(s) }
func integer(n int) *core.PdfNumber   { return core.NewPdfInteger(n) }
func real(v scene.Pt) *core.PdfNumber { return core.NewPdfReal(round(v)) }
func str(s string) *core.PdfString    { return core.NewPdfTextString(s) }
