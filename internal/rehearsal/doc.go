// Package rehearsal goes through a procedure on paper: it moves the gear along the rail
// step by step and asks every rule at every position.
//
// # The machine
//
// Bodies are devices and wires, each with a tip on the axis (millimetres, on the means),
// a length, what it rides on or runs through, and its state: trapped, snared, clipped,
// held at both tails, externalised, cut, inflated. Actions move or change them. A
// movement is swept, not jumped: the rules are piecewise linear in the position of what
// moves, so they are asked at every position where one can change its mind and between
// those.
//
// A Protocol is the order of steps for one finish; Default has the built-in ones, a
// house may have its own. The same engine runs both. What a protocol gets wrong (a wrong
// order, a bare channel, touching tips, a pull over a held wire, a hub at its valve, a
// lost end, an overfilled lumen) is found, not assumed.
//
// Severities are those of the rules: what blocks makes a plan fail, a confirmation asks
// a named person, a watch names somebody, a hold point stands in the step and decides
// nothing. An optional step is rehearsed as if it were needed; it does not decide either.
//
// # Laws, tested on random cases
//
//	S1  A dense walk of every movement, 1 mm at a time, finds no blocking violation that
//	    the sweep does not find, and the other way round.
//	S2  A rehearsal changes nothing of its case, and gives the same answer every run.
//	S3  Parsing and printing of an action are inverse.
//	S4  The built-in protocols break no rule on cases whose margins all hold.
//	S5  For each rule that blocks there is a protocol that breaks only that rule, at one step.
//
// Not here: what a hand feels, what fluoroscopy shows, whether a wire will cross.
package rehearsal
