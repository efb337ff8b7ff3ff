package app

import (
	"quiltwright/internal/edit"
)

// keeper holds the text of a file safe on the disk, and every change that can be taken back.
type keeper interface {
	Text() []byte
	Revision() int                         // grows by one with every change, from whatever side it comes
	Save(text []byte, ops []edit.Op) error // the text is safe when it returns without an error
	Undo() error
	Redo() error
	Can() (undo, redo string)        // what would be taken back and made again, in words; "" where there is nothing
	Look() (changed bool, err error) // takes in what another program did to the file
	Close() error
}
