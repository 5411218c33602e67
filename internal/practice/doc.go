// Package practice lets people go through a procedure with their own hands, make the
// mistakes here and not in the patient, and see afterwards what they did.
//
// # The log
//
// A practice is a list of lines, each one thing that was done; nothing else is kept, and
// everything shown follows from it. Lines are the actions of package rehearsal, and
//
//	push retro_microcatheter by 120 mm with donor_wire   a length, on the shaft
//	pull retro_microcatheter until 272 mm shows          to a mark on the shaft
//	guide antegrade_guide out 10 mm                      a guide is moved
//	call last-look                                       what comes is meant as that; `call nothing` ends it
//	watch second operator                                who watches both guides and both pressures; `watch nobody`
//	tick bailout-ready                                   a hold point was asked for and holds
//	minutes 5                                            time passes
//	pedal 3                                              seconds of fluoroscopy
//
// # What is hidden
//
// In a laboratory (Lab) nobody sees the rail: a shaft can be read, tips are seen only
// while somebody steps on the pedal, and pressures come as events. What the legs really
// measure, what was really opened, and what will go wrong belongs to the scenario.
// Afterwards (Reveal) the rail is shown with what really happened.
//
// # Invented
//
// How far a guide dives when gear is pulled, when its pressure curve damps, and how long
// an action takes are invented, and are called so wherever they are shown. They are
// there so that mistakes have consequences. Nothing of them is used in a plan.
//
// Nothing is scored.
//
// # Laws, tested on random practices
//
//	Q1  Replaying a log gives the same views, to the bit, and printing its lines gives
//	    the same log, to the byte.
//	Q2  Undoing everything gives the view of the start.
//	Q3  Without twists, hidden lengths and dives a practice does what a
//	    rehearsal.Session does.
//	Q4  In a laboratory no view holds a position on the axis before Reveal.
//	Q5  The planned order compared with itself has no difference, and a line that is
//	    left out or put in is the only difference that it makes.
//	Q6  In a laboratory Seen says no figure that is neither in its line nor in a rule's
//	    own words.
//
// K1 and K2 stand at Walk, C1 and C2 at Can.
package practice
