//go:build !unix

package suite

import "testing"

func address(t testing.TB) string {
	t.Skip("the tests start a PostgreSQL server on Unix systems only")
	return ""
}
