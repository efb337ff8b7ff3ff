package main

import (
	"fmt"

	"quiltwright/docs"
	"quiltwright/internal/app"
)

// newCommand begins a document without opening the board.
type newCommand struct {
	File string `arg:"" help:"The file to begin; one that is there already is left as it is."`
}

// Help shows an example.
func (newCommand) Help() string { return "Example:  quiltwright new pier-lights.yaml" }

// Run carries the command out.
func (c newCommand) Run(s *session) error {
	if err := app.Begin(c.File); err != nil {
		return err
	}
	return s.print(fmt.Sprintf("%s is begun; quiltwright open %s draws on it\n", c.File, c.File))
}

// schemaCommand prints the schema, for editors that check a document as it is typed.
type schemaCommand struct{}

// Help shows an example.
func (schemaCommand) Help() string { return "Example:  quiltwright schema > quilt.schema.json" }

// Run carries the command out.
func (schemaCommand) Run(s *session) error { return s.print(docs.Schema) }
