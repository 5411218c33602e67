// Package render turns what the program worked out into what a person or another
// program reads: the plan as a table for a terminal or a pipe, and as JSON.
//
// The JSON is a contract, schema plan/1: stable names, every length in millimetres,
// null where there is no figure. The table is for reading only and may change.
//
// Nothing is computed here, and every rendering carries plan.Notice.
package render
