package web

import (
	"io"
	"log"
	"net"
	"net/http"
	"strings"
	"time"
)

// policy is what a page of the workbench may load and do: what this program serves.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; connect-src 'self'; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// quiet drops what the server of the standard library would log: it may hold addresses
// and parts of requests.
var quiet = log.New(io.Discard, "", 0)

// guard stands before every handler.
func (s *Server) guard(next http.Handler) http.Handler {
	cross := http.NewCrossOriginProtection()
	cross.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		writeError(w, &Error{Kind: Origin, Says: "the request comes from another page than the workbench"})
	}))
	inner := cross.Handler(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		headers(w.Header())
		defer recovered(w)
		control := http.NewResponseController(w)
		_ = control.SetReadDeadline(time.Now().Add(bodyTime)) // a recorder in a test has none
		_ = control.SetWriteDeadline(time.Now().Add(answerTime))
		if !ours(r.Host) || !sameOrigin(r) {
			writeError(w, &Error{Kind: Origin, Says: "the request names another host than this machine", Hint: "open the address that the program printed"})
			return
		}
		inner.ServeHTTP(w, r)
	})
}

func headers(h http.Header) {
	h.Set("Content-Security-Policy", policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("X-Frame-Options", "DENY")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Permissions-Policy", "camera=(), geolocation=(), microphone=()")
}

// recovered answers for a defect.
func recovered(w http.ResponseWriter) {
	switch e := recover(); e {
	case nil:
	case http.ErrAbortHandler:
		panic(e) // the standard library's own way to end an answer
	default:
		writeError(w, errorOf(errDefect))
	}
}

type defect struct{}

func (defect) Error() string { return "internal error" }

var errDefect = defect{}

// ours reports whether a Host header names this machine.
func ours(host string) bool {
	name := host
	if h, port, err := net.SplitHostPort(host); err == nil {
		if strings.Trim(port, "0123456789") != "" {
			return false
		}
		name = h
	} else {
		name = strings.TrimSuffix(strings.TrimPrefix(name, "["), "]")
	}
	ip := net.ParseIP(name)
	return strings.EqualFold(name, "localhost") || ip != nil && ip.IsLoopback()
}

// sameOrigin reports whether a request that says where it comes from comes from the host
// that it asks. Reading too is for our own pages only.
func sameOrigin(r *http.Request) bool {
	origin := r.Header.Get("Origin")
	return origin == "" || origin == "http://"+r.Host
}
