package app

import (
	"errors"
	"os"

	"quiltwright/internal/edit"
)

type tempKeeper struct {
	path string
	all  [][]byte
	says []string
	at   int
	rev  int
}

func keep(path string) (keeper, error) {
	b, err := os.ReadFile(path)
	if errors.Is(err, os.ErrNotExist) {
		b, err = []byte(begin), nil
	}
	return &tempKeeper{path: path, all: [][]byte{b}, says: []string{""}, rev: 1}, err
}

const begin = `format: 1
quilt: Untitled
fabrics:
  A: {name: Fog, color: "#e8e3d6"}
  B: {name: Slate, color: "#45505c"}
  C: {name: Ember, color: "#c8502b"}
blocks:
  First Block:
    size: 12
    grid: 4
    lines: []
    ground: A
`

func (k *tempKeeper) Text() []byte  { return k.all[k.at] }
func (k *tempKeeper) Revision() int { return k.rev }
func (k *tempKeeper) Save(text []byte, ops []edit.Op) error {
	k.all = append(k.all[:k.at+1], text)
	k.says = append(k.says[:k.at+1], ops[0].Name())
	k.at++
	k.rev++
	return os.WriteFile(k.path, text, 0o644)
}
func (k *tempKeeper) Undo() error {
	if k.at == 0 {
		return errors.New("there is nothing to take back")
	}
	k.at--
	k.rev++
	return os.WriteFile(k.path, k.Text(), 0o644)
}
func (k *tempKeeper) Redo() error {
	if k.at == len(k.all)-1 {
		return errors.New("there is nothing to make again")
	}
	k.at++
	k.rev++
	return os.WriteFile(k.path, k.Text(), 0o644)
}
func (k *tempKeeper) Can() (undo, redo string) {
	if k.at > 0 {
		undo = k.says[k.at]
	}
	if k.at < len(k.all)-1 {
		redo = k.says[k.at+1]
	}
	return
}
func (k *tempKeeper) Look() (bool, error) { return false, nil }
func (k *tempKeeper) Close() error        { return nil }
