package web

import (
	"encoding/json"
	"errors"
	"io"
	"mime"
	"net/http"
	"strings"
	"unicode/utf8"
)

// mostBody is the largest body of a request, in bytes: as much as a file may have.
const mostBody = 4 << 20

// body reads a request's JSON into a value: one value, no field that it does not have.
func body(r *http.Request, into any) error {
	data, err := payload(r, "application/json", mostBody)
	if err != nil {
		return err
	}
	if !utf8.Valid(data) {
		return badRequest("the body is not UTF-8 text")
	}
	d := json.NewDecoder(strings.NewReader(string(data)))
	d.DisallowUnknownFields()
	if err := d.Decode(into); err != nil {
		return badRequest("the body can't be read: %s", strings.TrimPrefix(err.Error(), "json: "))
	}
	if _, err := d.Token(); err != io.EOF {
		return badRequest("the body goes on behind its JSON")
	}
	return nil
}

// payload reads a body of one media type up to a size.
func payload(r *http.Request, media string, most int64) ([]byte, error) {
	given, params, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if charset := strings.ToLower(params["charset"]); err != nil || given != media || charset != "" && charset != "utf-8" {
		return nil, &Error{Kind: MediaType, Says: "the body is not sent as " + media, Hint: "send the header Content-Type: " + media}
	}
	data, err := io.ReadAll(http.MaxBytesReader(nil, r.Body, most))
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		return nil, &Error{Kind: TooLarge, Says: "the body is larger than 4 MiB", Hint: "send less at once"}
	case err != nil:
		return nil, badRequest("the body did not arrive whole")
	}
	return data, nil
}
