package pdf

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"image/color"
	"image/jpeg"
	"image/png"
	"sort"

	"image"

	"github.com/carlos7ags/folio/core"
)

// picture is a picture of the file, written once however often it is shown.
type picture struct {
	name string
	ref  *core.PdfIndirectReference
}

func (w *writer) imageOrder() []*picture {
	var out []*picture
	for _, im := range w.images {
		out = append(out, im)
	}
	sort.Slice(out, func(i, j int) bool { return out[i].ref.Num() < out[j].ref.Num() })
	return out
}

// load returns the picture with these bytes, a JPEG or PNG file.
func (w *writer) load(file []byte) (*picture, error) {
	key := sha256.Sum256(file)
	if im, ok := w.images[key]; ok {
		return im, nil
	}
	o, err := embed(file)
	if err != nil {
		return nil, err
	}
	im := &picture{name: fmt.Sprintf("Im%d", len(w.images)), ref: w.add(o)}
	w.images[key] = im
	return im, nil
}

func embed(file []byte) (*core.PdfStream, error) {
	if cfg, err := jpeg.DecodeConfig(bytes.NewReader(file)); err == nil {
		space := ""
		switch cfg.ColorModel {
		case color.YCbCrModel:
			space = "DeviceRGB"
		case color.GrayModel:
			space = "DeviceGray"
		}
		if space != "" {
			s := core.NewPdfStream(file)
			header(s, cfg.Width, cfg.Height, space)
			s.Dict.Set("Filter", name("DCTDecode"))
			return s, nil
		}
		m, err := jpeg.Decode(bytes.NewReader(file))
		if err != nil {
			return nil, err
		}
		return flat(m), nil
	}
	m, err := png.Decode(bytes.NewReader(file))
	if err != nil {
		return nil, fmt.Errorf("a picture is neither JPEG nor PNG")
	}
	return flat(m), nil
}

// flat lays a picture on white, as plain RGB.
func flat(m image.Image) *core.PdfStream {
	b := m.Bounds()
	px := make([]byte, 0, 3*b.Dx()*b.Dy())
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			r, g, bl, a := m.At(x, y).RGBA()
			white := 0xffff - a
			px = append(px, byte((r+white)>>8), byte((g+white)>>8), byte((bl+white)>>8))
		}
	}
	s := compressed(px)
	header(s, b.Dx(), b.Dy(), "DeviceRGB")
	return s
}

func header(s *core.PdfStream, w, h int, space string) {
	s.Dict.Set("Type", name("XObject"))
	s.Dict.Set("Subtype", name("Image"))
	s.Dict.Set("Width", integer(w))
	s.Dict.Set("Height", integer(h))
	s.Dict.Set("ColorSpace", name(space))
	s.Dict.Set("BitsPerComponent", integer(8))
}
