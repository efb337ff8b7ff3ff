package app

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"image"
	_ "image/jpeg" // the photographs that can be printed
	_ "image/png"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"quiltwright/internal/edit"
	"quiltwright/internal/files"
	"quiltwright/internal/quilt"
)

// Limits of a photograph. They are looked at before it is decoded: a few bytes may claim to be a picture of any size.
const (
	maxPhotograph = 20 << 20 // bytes
	maxPixels     = 50_000_000
	maxSide       = 20_000
)

// pictured is the photograph of a fabric in a view.
type pictured struct {
	Swatch   string  `json:"swatch"`   // its name; "" without
	Pictured string  `json:"pictured"` // where it is sent from
	Shows    float64 `json:"shows"`    // how much cloth it shows from side to side, as the document says; 0 where it says nothing
}

// picture is the photograph of a fabric, as the palette says, or of the quilt's own where palette is "".
func picture(f quilt.Fabric, palette string) pictured {
	if f.Swatch == "" {
		return pictured{}
	}
	q := url.Values{"of": {f.Swatch}}
	if palette != "" {
		q.Set("palette", palette)
	}
	return pictured{f.Swatch, "/swatch/" + url.PathEscape(f.Letter) + "?" + q.Encode(), f.Shows.Float()}
}

// photograph is a request to lay a photograph beside the document as the swatch of a fabric.
type photograph struct {
	request
	Fabric string `json:"fabric"`
	Data   []byte `json:"data"` // base64
}

// addSwatch keeps a photograph beside the document, under a name of the board's own, and makes it the swatch of the fabric.
func (s *server) addSwatch(w http.ResponseWriter, r *http.Request) {
	var asked photograph
	if !receive(w, r, maxPhotograph/3*4+maxRequest, &asked) {
		return
	}
	s.change(w, asked.request, func(_ request, show func(*state)) (*state, error) {
		at := s.session.current()
		i := slices.IndexFunc(at.doc.Fabrics, func(f quilt.Fabric) bool { return f.Letter == asked.Fabric })
		if i < 0 {
			return at, fmt.Errorf("there is no fabric “%s”", asked.Fabric)
		}
		kind, err := s.check(asked.Data)
		if err != nil {
			return at, err
		}
		name, err := layBeside(filepath.Dir(s.session.path), asked.Fabric, kind, asked.Data)
		if err != nil {
			return at, err
		}
		ops := []edit.Op{&edit.Put{At: edit.Path{"fabrics", asked.Fabric, "swatch"}, Value: edit.Word(name)}}
		if at.doc.Fabrics[i].Shows.Sign() > 0 { // that was said of another one
			ops = append(ops, &edit.Drop{At: edit.Path{"fabrics", asked.Fabric, "shows"}})
		}
		var coded []json.RawMessage
		for _, op := range ops {
			coded = append(coded, edit.Encode(op))
		}
		return s.session.do(asked.Revision, coded, asked.Window, show)
	})
}

// check decodes a photograph once, so that what lies beside the document can be printed. The kind is its ending.
func (s *server) check(data []byte) (kind string, err error) {
	if len(data) > maxPhotograph {
		return "", fmt.Errorf("the photograph is larger than %d MB", maxPhotograph>>20)
	}
	size, kind, err := image.DecodeConfig(bytes.NewReader(data))
	if err != nil || kind != "jpeg" && kind != "png" {
		return "", errors.New("this is no photograph that can be printed: a .jpg or a .png is")
	}
	if size.Width < 1 || size.Height < 1 || size.Width > maxSide || size.Height > maxSide || size.Width*size.Height > maxPixels {
		return "", fmt.Errorf("the photograph is %d by %d dots, which is too large: at most %d million dots", size.Width, size.Height, maxPixels/1_000_000)
	}
	s.swatch.Lock()
	defer s.swatch.Unlock()
	if _, _, err := image.Decode(bytes.NewReader(data)); err != nil {
		return "", fmt.Errorf("the photograph is damaged: %w", err)
	}
	return map[string]string{"jpeg": ".jpg", "png": ".png"}[kind], nil
}

// layBeside writes the photograph into the folder and returns its name, which is made of the fabric's letters and its content: it never takes the place of
// another file.
func layBeside(dir, letters, kind string, data []byte) (string, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return "", err
	}
	defer root.Close()
	name := fmt.Sprintf("swatch-%s-%x%s", strings.ToLower(letters), sha256.Sum256(data), kind)
	name = name[:len("swatch-")+len(letters)+1+12] + kind
	f, err := root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, os.ErrExist) {
		return name, nil // the same photograph
	}
	if err != nil {
		return "", fmt.Errorf("the photograph cannot be laid beside the document: %w", err)
	}
	_, err = f.Write(data)
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		_ = root.Remove(name)
		return "", fmt.Errorf("the photograph cannot be laid beside the document: %w", err)
	}
	return name, nil
}

// swatchOf sends the photograph of a fabric of the document or of one of its palettes, and no other file.
func (s *server) swatchOf(w http.ResponseWriter, r *http.Request) {
	doc := s.session.current().doc
	if other, ok := doc.In(r.URL.Query().Get("palette")); ok {
		doc = other
	}
	for _, f := range doc.Fabrics {
		if f.Letter != r.PathValue("fabric") || f.Swatch == "" {
			continue
		}
		b, err := files.Beside(filepath.Dir(s.session.path), f.Swatch)
		kind := http.DetectContentType(b)
		if err != nil || kind != "image/jpeg" && kind != "image/png" {
			break
		}
		w.Header().Set("Content-Type", kind)
		_, _ = w.Write(b)
		return
	}
	http.NotFound(w, r)
}
