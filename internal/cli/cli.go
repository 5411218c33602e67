// Package cli holds the commands: what a person types, what goes to standard output,
// what to standard error, and the exit status.
//
//	0  the answer is there, and the best plan works or is tight
//	1  the answer is there, and the best plan fails or is unknown
//	2  a file, a flag or a sighting is wrong; standard output stays empty
//
// Every error line about a file begins FILE:LINE:COL: with the file's name as it was
// given. Nothing is coloured or bold unless the output is a terminal and NO_COLOR is
// not set. A command that writes files writes all of them or none.
//
// How files are read and results printed comes in from outside (plan.Files,
// plan.Printer), and so do arguments, streams and the file system's root functions:
// tests drive the same program.
package cli

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/alecthomas/kong"

	"backroad/internal/fault"
	"backroad/internal/kit"
	"backroad/internal/plan"
	"backroad/internal/stock"
)

// Program is the command-line program with all that it talks to.
type Program struct {
	Files     plan.Files
	Printer   plan.Printer
	Chooser   kit.Chooser
	Shelves   plan.Shelves
	Risks     RiskPrinter
	Archives  Archives
	Workbench Workbench
	Practices Practices
	Today     func() stock.Day // what day it is
	In        io.Reader
	Out       io.Writer
	Err       io.Writer
	Bold      bool   // the output is a terminal that may show bold
	Version   string // what `version` prints
}

// The exit statuses.
const (
	ExitWorks = 0
	ExitFails = 1
	ExitWrong = 2
)

// commands is the grammar of the command line.
type commands struct {
	Serve    serveCommand    `cmd:"" help:"Start the workbench on this machine and print its address."`
	Plan     planCommand     `cmd:"" help:"Plan a case: which route and which way to finish works with which gear."`
	Risk     riskCommand     `cmd:"" help:"Published scores, kidneys, heparin and base rates for a case, each with its source."`
	Limits   limitsCommand   `cmd:"" help:"Where contrast, dose and time stand against every published line, and when the next is reached."`
	New      newCommand      `cmd:"" help:"Answer a few questions and get a case file that plans at once."`
	Check    checkCommand    `cmd:"" help:"Check case, shelf, house and practice files."`
	Practice practiceCommand `cmd:"" help:"Go through a log of a practice: which rules broke where, what that does to the patient, the way out, and what differs from the plan."`
	Explain  explainCommand  `cmd:"" help:"Say what a margin, rule or default is, with its formula and source."`
	Shelf    shelfCommand    `cmd:"" help:"What is on the shelf, what can be used today, and changes of it."`
	Example  exampleCommand  `cmd:"" help:"Write the demo case, shelf and house file into an empty folder."`
	Protocol protocolCommand `cmd:"" help:"Print the built-in protocol of a finish as a house file, to be made your own."`
	Export   exportCommand   `cmd:"" help:"Write every case, shelf and house file, and the kept plans, as a zip of plain files."`
	Import   importCommand   `cmd:"" help:"Take in such a zip: all of it, or with one fault nothing."`
	Backup   backupCommand   `cmd:"" help:"Copy the archive into a new file while others go on working in it."`
	Version  versionCommand  `cmd:"" help:"Print the version."`
}

const description = "Planning and record aid for opening chronically occluded coronary arteries from the far side. " +
	"For licensed practitioners: fluoroscopy, pressures, the manufacturers' instructions and local protocol decide."

// Run runs one command and returns its exit status.
func (p *Program) Run(ctx context.Context, args []string) int {
	var c commands
	log := &eventLog{}
	exit := -1
	parser, err := kong.New(&c, kong.Name("backroad"), kong.Description(description),
		kong.Writers(p.Out, p.Err), kong.Exit(func(code int) { exit = code }),
		kong.NamedMapper("event", kong.MapperFunc(log.decode)), kong.UsageOnError(),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, WrapUpperBound: 96}))
	if err != nil {
		panic("internal error: the grammar of the command line: " + err.Error())
	}
	if len(args) == 0 {
		args = []string{"--help"}
	}
	k, err := parser.Parse(args)
	if exit >= 0 { // --help was asked for and is printed
		return exit
	}
	if err != nil {
		fmt.Fprintf(p.Err, "backroad: %s\nwrite `backroad --help` to see what there is\n", fault.OneLine(err.Error()))
		return ExitWrong
	}
	return p.report(k.Run(&run{Program: p, ctx: ctx, events: log}))
}

// run is what every command gets.
type run struct {
	*Program
	ctx    context.Context
	events *eventLog
}

// errFails ends a command that has answered, and the answer is no.
var errFails = errors.New("the best plan fails or is unknown")

// report turns a command's error into messages and an exit status.
func (p *Program) report(err error) int {
	switch {
	case err == nil:
		return ExitWorks
	case errors.Is(err, errFails):
		return ExitFails
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(p.Err, "backroad: stopped, nothing was written")
		return ExitWrong
	}
	var list fault.List
	if errors.As(err, &list) {
		fmt.Fprintln(p.Err, list.Sort().Error())
		return ExitWrong
	}
	fmt.Fprintln(p.Err, "backroad: "+fault.OneLine(err.Error()))
	return ExitWrong
}

// read reads a file up to just over the largest size that is accepted.
func read(name string) ([]byte, fault.List) {
	f, err := os.Open(name)
	if err != nil {
		return nil, unreadable(name, err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, plan.MaxFile+1))
	if err != nil {
		return nil, unreadable(name, err)
	}
	return data, nil
}

func unreadable(name string, err error) fault.List {
	var path *os.PathError
	why := err.Error()
	if errors.As(err, &path) {
		why = path.Err.Error()
	}
	f := fault.New(fault.Unreadable, why, "a file that can be read", "check the name and the rights of the file")
	return fault.List{f.At(name, 1, 1)}
}

// buffered writes through a buffer and reports what the flush says.
func buffered(w io.Writer, write func(io.Writer) error) error {
	b := bufio.NewWriter(w)
	if err := write(b); err != nil {
		return err
	}
	if err := b.Flush(); err != nil {
		return fmt.Errorf("the output could not be written: %w", err)
	}
	return nil
}
