// Package suite is the one set of tests that every archive passes: in memory, in a file
// of SQLite and on a PostgreSQL server. It holds no code of the program. Each test names
// the law of package archive that it is about. It is aimed at where the three differ:
// scripts and normal forms, NUL and bytes that are no text, the order of words, several
// savers at once, large texts, what is seen of a change and when, the precision of times
// and fractions, calls that are given up, and what a failed call leaves behind.
//
// The server is started for the tests from the programs of PostgreSQL on this machine, in
// a folder of its own, with a collation that is not that of bytes and with
// synchronous_commit switched off, which the store must not take over. Where there is
// none, its tests are skipped and say so.
package suite
