// Package history keeps one file safe: every change is on the disk before it is acknowledged, can be taken back without limit, after a
// crash too, and never overwrites what another program has written.
//
//	h, err := history.Open("quilts/lantern-row.yaml", fresh)
//	err = h.Save(text, "rename block")
//	err = h.Undo()
//
// Beside the file lies a folder .quiltwright with lantern-row.yaml.journal, to which every change is appended as a line with a checksum, and
// lantern-row.yaml.versions with the last versions as plain files, for a person who has nothing but a file manager.
//
// A change goes to the journal first and into the file then, which is replaced in one step. Whatever ends the program in between, the next
// Open finds (1) the former file and a journal that is one change ahead, and carries the change out, or (2) a last line of the journal that
// is torn, which was never acknowledged, and leaves it out. A file that is neither what the journal says nor what it said one change ago
// was changed by another program: that becomes a change of its own, which can be taken back.
//
// It knows nothing of what is in the file.
package history
