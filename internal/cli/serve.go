package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"os"
	"os/exec"
	"runtime"

	"backroad/internal/archive"
)

// Workbench is the contract of whoever serves the pages of the workbench.
type Workbench interface {
	// Memory is an empty archive that ends with the program.
	Memory() archive.Archive
	// Listen opens an address of this machine; any other is refused.
	Listen(address string) (net.Listener, error)
	// Serve answers until ctx is done. where says in words where the archive is; demo says
	// that it was filled with the made-up case.
	Serve(ctx context.Context, l net.Listener, a archive.Archive, where string, demo bool) error
}

type serveCommand struct {
	archiveFlags
	Memory    bool   `help:"Keep everything in memory: for trying things out; it is gone when the program ends."`
	Address   string `default:"127.0.0.1:8480" placeholder:"HOST:PORT" help:"Where to answer, on this machine only; port 0 takes a free one."`
	Demo      bool   `help:"Put the made-up case, shelf and house file into an archive that is empty."`
	NoBrowser bool   `help:"Do not open the first page in a browser."`
	JSON      bool   `help:"Print the address as JSON."`
}

// Run implements the command. It ends cleanly when it is interrupted.
func (c *serveCommand) Run(r *run) (err error) {
	a, where, err := c.open(r)
	if err != nil {
		return err
	}
	defer closing(a, &err)
	if c.Demo {
		if err := fill(r.ctx, a); err != nil {
			return err
		}
	}
	l, err := r.Workbench.Listen(c.Address)
	if err != nil {
		return err
	}
	address := "http://" + l.Addr().String() + "/"
	if err := c.tell(r, address, where); err != nil {
		l.Close()
		return err
	}
	if !c.NoBrowser {
		browse(address)
	}
	err = r.Workbench.Serve(r.ctx, l, a, where, c.Demo)
	if err == nil || errors.Is(err, context.DeadlineExceeded) { // whoever was slow to read was cut off
		fmt.Fprintln(r.Err, "the workbench has ended; everything that was saved is in", where)
		return nil
	}
	return err
}

func (c *serveCommand) open(r *run) (archive.Archive, string, error) {
	if !c.Memory {
		return r.openArchive(c.archiveFlags)
	}
	if c.Data != "" || c.Store != "" {
		return nil, "", errors.New("found --memory beside --data or --store; expected one of them")
	}
	return r.Workbench.Memory(), "the memory of this program", nil
}

// tell prints the address: alone on a line of standard output, for a pipe.
func (c *serveCommand) tell(r *run, address, where string) error {
	line := []byte(address)
	if c.JSON {
		var err error
		if line, err = json.Marshal(map[string]string{"address": address, "store": where}); err != nil {
			return err
		}
	}
	if _, err := fmt.Fprintf(r.Out, "%s\n", line); err != nil {
		return fmt.Errorf("the output could not be written: %w", err)
	}
	fmt.Fprintf(r.Err, "the workbench works in %s; open the address above in a browser, end it with Ctrl-C\n", where)
	return nil
}

// browse opens an address in the user's browser where there is a screen; without one, or
// without a browser, the address that was printed has to do.
func browse(address string) {
	var cmd *exec.Cmd
	switch runtime.GOOS {
	case "windows":
		cmd = exec.Command("rundll32", "url.dll,FileProtocolHandler", address)
	case "darwin":
		cmd = exec.Command("open", address)
	default:
		if os.Getenv("DISPLAY") == "" && os.Getenv("WAYLAND_DISPLAY") == "" {
			return
		}
		cmd = exec.Command("xdg-open", address)
	}
	if cmd.Start() == nil {
		go func() { _ = cmd.Wait() }() // how the browser ends is its own business
	}
}

// demoFiles are the made-up documents with their titles.
var demoFiles = []struct {
	kind            archive.Kind
	file, id, title string
}{
	{archive.House, "house.yaml", "demo-house", "Made-up house rules"},
	{archive.Shelf, "shelf.yaml", "demo-shelf", "Made-up shelf"},
	{archive.Case, "case.yaml", "M-2231", "M-2231"},
}

// fill puts the made-up documents into an archive that is empty; into any other nothing.
func fill(ctx context.Context, a archive.Archive) error {
	for _, kind := range archive.Kinds {
		list, err := a.List(ctx, kind)
		if err != nil || len(list) > 0 {
			return err
		}
	}
	for _, d := range demoFiles {
		text, err := demo.ReadFile("demo/" + d.file)
		if err != nil {
			return err
		}
		if _, err := a.Save(ctx, archive.Draft{Kind: d.kind, ID: d.id, Title: d.title, Text: text}); err != nil {
			return err
		}
	}
	return nil
}
