package web

import (
	"io"

	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/plan"
	"backroad/internal/practice"
)

// Practices is the contract of whoever reads the files of practices and has those that
// come with the program.
type Practices interface {
	ReadPractice(name string, data []byte, shelf *gear.Shelf) (*practice.Scenario, fault.List)
	// ReadSaved reads a practice that was saved.
	ReadSaved(name string, data []byte) (*practice.Saved, fault.List)
	Scenarios() []Scenario // in their order
	DemoShelf() []byte     // what the scenarios were written for
}

// Scenario is one that comes with the program.
type Scenario struct {
	ID       string
	Text     []byte
	Scenario *practice.Scenario
}

// PracticePage is what the answer to a practice shows.
type PracticePage struct {
	Plan            *plan.Plan
	Session         *practice.Session
	Scenario        *practice.Scenario // nil: none
	Lab             bool
	Reveal, Compare bool
}

// PracticePrinter is the contract of whoever shows walks and practices, as JSON in one line.
type PracticePrinter interface {
	Walk(w io.Writer, p *plan.Plan, walk *practice.Walk) error
	Practice(w io.Writer, p *PracticePage) error
}
