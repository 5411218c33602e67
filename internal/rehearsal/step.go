package rehearsal

import (
	"backroad/internal/gear"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// Step is one step of the procedure as it was rehearsed: what moves and which way,
// which mark to set, what is in which lumen, what must hold before, what to watch and
// who watches it, and what to do if it fails.
type Step struct {
	ID       string
	Title    string
	Does     []string // its actions in words, in order
	Moves    []Move
	Marks    []Mark
	Lumens   []Lumen       // every tube that holds more than one thing while the step lasts, at its tightest
	Held     []Held        // every distinct cross-section of every tube while the step lasts
	Across   [][]gear.Role // every distinct set of wires and microcatheters that span the occlusion while the step lasts
	Holds    []Hold        // hold points: conditions before the step
	Watch    string        // what to watch
	Who      string        // who watches it
	IfFails  string
	Findings []verdict.Finding
}

// Way says how a shaft is moved: pushing is mostly harmless, pulling never is.
type Way string

// The ways.
const (
	Push Way = "push"
	Pull Way = "pull"
)

// Move is one movement of a device's tip or a wire's leading end along the axis.
type Move struct {
	Role     gear.Role
	Item     string // id of the shelf
	Way      Way
	From, To unit.Length // positions on the axis
	Place    string      // where it goes, in the words of the protocol
}

// Mark is what shows on a shaft outside its valve when the tip is where it should be.
type Mark struct {
	Role  gear.Role
	Item  string
	Place string // where the tip is then
	Shows unit.Length
	SD    unit.Length
}

// Lumen is one cross-section of a tube.
type Lumen struct {
	Tube    gear.Role
	Item    string
	Bore    unit.Length
	In      []Inside
	Spare   unit.Length
	Verdict verdict.Verdict
}

// Inside is one circle of a cross-section.
type Inside struct {
	Role     gear.Role
	Diameter unit.Length
}

// Hold is a hold point before a step: a rule that can't be judged on paper.
type Hold struct {
	Rule string
	Says string
}
