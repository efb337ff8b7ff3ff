package main

import (
	"context"
	"fmt"
	"os/exec"
	"os/signal"
	"runtime"
	"syscall"

	"quiltwright/internal/app"
)

// openCommand opens the board.
type openCommand struct {
	File      string `arg:"" optional:"" default:"quilt.yaml" help:"The quilt document; one that is not there is begun."`
	Port      int    `default:"0" help:"The port on this machine; a free one unless it is named."`
	NoBrowser bool   `help:"Print the address and open no browser."`
}

// Help shows an example.
func (openCommand) Help() string {
	return "The board is served to this machine only, at an address that nobody else knows, until you press Ctrl+C.\n\nExample:  quiltwright open lantern-row.yaml"
}

// Run carries the command out.
func (c openCommand) Run(s *session) error {
	b, err := app.Open(c.File, c.Port)
	if err != nil {
		return err
	}
	if err := s.print(fmt.Sprintf("the board of %s is at\n%s\nCtrl+C ends it; everything that it shows as saved is saved\n", c.File, b.Address)); err != nil {
		return err
	}
	ctx, release := signal.NotifyContext(context.Background(), syscall.SIGINT, syscall.SIGTERM)
	defer release()
	context.AfterFunc(ctx, func() { _ = b.Close() })
	if !c.NoBrowser {
		browse(b.Address)
	}
	return b.Serve()
}

// browse opens the address in the person's browser. Where that does not work the address has been printed.
func browse(address string) {
	name, args := "xdg-open", []string{address}
	switch runtime.GOOS {
	case "darwin":
		name = "open"
	case "windows":
		name, args = "rundll32", []string{"url.dll,FileProtocolHandler", address}
	}
	_ = exec.Command(name, args...).Start()
}
