package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"backroad/internal/app"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"backroad": func() { os.Exit(app.Run(os.Args[1:])) }})
}

// TestScripts runs the real program in a folder of its own for each script. The demo
// files are in $DEMO.
func TestScripts(t *testing.T) {
	demo, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("DEMO", demo+"/../../internal/cli/demo")
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"jsonfield": jsonField, "exitcode": exitCode},
	})
}

// jsonField FILE PATH VALUE [TOLERANCE] checks one field of a JSON file; a number
// within a tolerance, anything else as its text.
func jsonField(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 3 {
		ts.Fatalf("usage: jsonfield FILE PATH VALUE [TOLERANCE]")
	}
	var v any
	ts.Check(json.Unmarshal([]byte(ts.ReadFile(args[0])), &v))
	for _, key := range strings.Split(args[1], "/") {
		v = step(ts, v, key)
	}
	got, isNumber := v.(float64)
	if len(args) < 4 || !isNumber {
		if fmt.Sprint(v) != args[2] {
			ts.Fatalf("%s is %v, want %s", args[1], v, args[2])
		}
		return
	}
	want, err := strconv.ParseFloat(args[2], 64)
	ts.Check(err)
	within, err := strconv.ParseFloat(args[3], 64)
	ts.Check(err)
	if math.Abs(got-want) > within {
		ts.Fatalf("%s is %g, want %g within %g", args[1], got, want, within)
	}
}

// step goes down one level: a key, an index, or id=X to find a list's member.
func step(ts *testscript.TestScript, v any, key string) any {
	switch node := v.(type) {
	case map[string]any:
		next, ok := node[key]
		if !ok {
			ts.Fatalf("no key %s", key)
		}
		return next
	case []any:
		if name, want, ok := strings.Cut(key, "="); ok {
			for _, m := range node {
				if fields, ok := m.(map[string]any); ok && fields[name] == want {
					return m
				}
			}
			ts.Fatalf("no member with %s", key)
		}
		if key == "len" {
			return float64(len(node))
		}
		i, err := strconv.Atoi(key)
		ts.Check(err)
		return node[i]
	}
	ts.Fatalf("nothing below %s", key)
	return nil
}

// exitCode N COMMAND … runs the program and checks its exit status.
func exitCode(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exitcode N COMMAND [ARG ...]")
	}
	err := ts.Exec(args[1], args[2:]...)
	got := 0
	if err != nil {
		if e, ok := err.(interface{ ExitCode() int }); ok {
			got = e.ExitCode()
		} else {
			ts.Fatalf("%v", err)
		}
	}
	if strconv.Itoa(got) != args[0] {
		ts.Fatalf("exit status %d, want %s", got, args[0])
	}
}
