//go:build unix

package suite

import (
	"context"
	"database/sql"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"slices"
	"strconv"
	"sync"
	"syscall"
	"testing"
	"time"

	_ "github.com/jackc/pgx/v5/stdlib"
)

// server is a PostgreSQL server for these tests.
type server struct {
	folder string
	stop   func()
	err    error // why there is none
	used   int
	mu     sync.Mutex
}

var theServer = sync.OnceValue(startServer)

func TestMain(m *testing.M) {
	code := m.Run()
	if started != nil && started.stop != nil {
		started.stop()
	}
	os.Exit(code)
}

var started *server

// address is that of a new schema on the server.
func address(t testing.TB) string {
	t.Helper()
	s := theServer()
	if s.err != nil {
		t.Skip("no PostgreSQL server for this test: ", s.err)
	}
	s.mu.Lock()
	s.used++
	schema := fmt.Sprintf("s%d", s.used)
	s.mu.Unlock()
	s.exec(t, "CREATE SCHEMA "+schema)
	return s.url("backroad", schema)
}

func (s *server) url(user, schema string) string {
	q := url.Values{"host": {s.folder}, "search_path": {schema}}
	return (&url.URL{Scheme: "postgres", User: url.User(user), Path: "/postgres", RawQuery: q.Encode()}).String()
}

// exec runs statements as the owner of the server.
func (s *server) exec(t testing.TB, statements ...string) {
	t.Helper()
	db, err := sql.Open("pgx", s.url("backroad", "public"))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	for _, q := range statements {
		if _, err := db.Exec(q); err != nil {
			t.Fatalf("%s: %v", q, err)
		}
	}
}

// holder is a transaction of somebody else, which ends with the test.
func holder(t *testing.T, address string) *sql.Tx {
	t.Helper()
	db, err := sql.Open("pgx", address)
	if err != nil {
		t.Fatal(err)
	}
	tx, err := db.Begin()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		tx.Rollback() // it may have ended already
		db.Close()
	})
	return tx
}

// program finds a program of PostgreSQL.
func program(name string) (string, error) {
	found, _ := filepath.Glob("/usr/lib/postgresql/*/bin/" + name)
	slices.Sort(found)
	if len(found) > 0 {
		return found[len(found)-1], nil
	}
	return exec.LookPath(name)
}

func startServer() *server {
	s := &server{}
	started = s
	s.err = s.start()
	return s
}

func (s *server) start() error {
	initdb, err := program("initdb")
	if err != nil {
		return err
	}
	postgres, err := program("postgres")
	if err != nil {
		return err
	}
	if s.folder, err = os.MkdirTemp("", "pg"); err != nil {
		return err
	}
	as, err := asUser(s.folder)
	if err != nil {
		return err
	}
	data := filepath.Join(s.folder, "data")
	make := func(more ...string) error {
		c := exec.Command(initdb, append([]string{"-D", data, "-U", "backroad", "-A", "trust", "-E", "UTF8", "--locale=C.UTF-8", "--no-sync"}, more...)...)
		c.SysProcAttr, c.Dir = as, s.folder
		if out, err := c.CombinedOutput(); err != nil {
			return fmt.Errorf("initdb: %w: %s", err, out)
		}
		return nil
	}
	if err := make("--locale-provider=icu", "--icu-locale=en-US"); err != nil { // older than 15, or built without
		os.RemoveAll(data)
		if err := make(); err != nil {
			return err
		}
	}
	return s.run(postgres, data, as)
}

// run starts the server. It ends when this process does, however that ends: the shell
// waits for the end of its input.
func (s *server) run(postgres, data string, as *syscall.SysProcAttr) error {
	c := exec.Command("sh", "-c", `"$1" -D "$2" -k "$3" -c listen_addresses= -c fsync=off -c synchronous_commit=off -c log_min_messages=fatal 2>"$3/log" & server=$!
		cat >/dev/null; kill -INT $server; wait $server`, "sh", postgres, data, s.folder)
	c.SysProcAttr, c.Dir = as, s.folder
	input, err := c.StdinPipe()
	if err != nil {
		return err
	}
	if err := c.Start(); err != nil {
		return err
	}
	s.stop = func() {
		input.Close()
		c.Wait()
		os.RemoveAll(s.folder)
	}
	db, err := sql.Open("pgx", s.url("backroad", "public"))
	if err != nil {
		return err
	}
	defer db.Close()
	for range 300 { // half a minute
		ctx, cancel := context.WithTimeout(context.Background(), time.Second)
		err = db.PingContext(ctx)
		cancel()
		if err == nil {
			return nil
		}
		time.Sleep(100 * time.Millisecond)
	}
	return err
}

// asUser makes a folder the property of a user who may run a server: root may not.
func asUser(folder string) (*syscall.SysProcAttr, error) {
	if os.Getuid() != 0 {
		return nil, nil
	}
	u, err := user.Lookup("postgres")
	if err != nil {
		if u, err = user.Lookup("nobody"); err != nil {
			return nil, err
		}
	}
	uid, err := strconv.Atoi(u.Uid)
	if err != nil {
		return nil, err
	}
	gid, err := strconv.Atoi(u.Gid)
	if err != nil {
		return nil, err
	}
	return &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}}, os.Chown(folder, uid, gid)
}
