//go:build !unix

package sqlite

func openAndTell(string) {}
