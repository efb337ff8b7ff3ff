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
	"os"
	"path/filepath"
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
		letters := func(f quilt.Fabric) bool { return f.Letter == asked.Fabric }
		if !anyOf(at.doc.Fabrics, letters) {
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
		op, err := json.Marshal(map[string]any{"do": (*edit.Put).Name(nil), "at": []string{"fabrics", asked.Fabric, "swatch"}, "value": name})
		if err != nil {
			return at, err
		}
		return s.session.do(asked.Revision, []json.RawMessage{op}, asked.Window, show)
	})
}

func anyOf[T any](all []T, is func(T) bool) bool {
	for _, x := range all {
		if is(x) {
			return true
		}
	}
	return false
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

// swatchOf sends the photograph of a fabric of the document, and no other file.
func (s *server) swatchOf(w http.ResponseWriter, r *http.Request) {
	for _, f := range s.session.current().doc.Fabrics {
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
