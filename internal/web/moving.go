package web

import (
	"bytes"
	"errors"
	"net/http"

	"backroad/internal/archive"
	"backroad/internal/fault"
)

// mostZip is the largest zip that is taken in over the network, in bytes.
const mostZip = 256 << 20

// export answers with the archive as plain files in a zip. It is made before anything is
// sent: half of one would look like a whole one.
func (s *Server) export(w http.ResponseWriter, r *http.Request) error {
	var b bytes.Buffer
	if err := s.Moving.Export(r.Context(), &b, s.Archive); err != nil {
		return err
	}
	download(w, "backroad-"+s.Today().String(), ".zip")
	writeRaw(w, http.StatusOK, "application/zip", b.Bytes())
	return nil
}

// ref is a version of a document by its name.
type ref struct {
	Kind    archive.Kind `json:"kind"`
	ID      string       `json:"id"`
	Version int          `json:"version"`
}

// imports takes in a zip of plain files, all of it or nothing.
func (s *Server) imports(w http.ResponseWriter, r *http.Request) error {
	data, err := payload(r, "application/zip", mostZip)
	if err != nil {
		return err
	}
	out := struct {
		Added  []version `json:"added"`
		Same   []ref     `json:"same"`
		Faults []Fault   `json:"faults"`
	}{[]version{}, []ref{}, []Fault{}}
	added, same, err := s.Moving.Import(r.Context(), "import.zip", data, s.Archive)
	var list fault.List
	if errors.As(err, &list) {
		for _, f := range list {
			out.Faults = append(out.Faults, faultJSON(f.File, Placed{Fault: f}))
		}
		writeJSON(w, http.StatusOK, out)
		return nil
	}
	if err != nil {
		return err
	}
	for _, v := range added {
		out.Added = append(out.Added, versionOf(v))
	}
	for _, v := range same {
		out.Same = append(out.Same, ref{v.Kind, v.ID, v.Version})
	}
	_, _ = s.hub.present(r.Context()) // plans came too; where it fails the streams look again by themselves
	writeJSON(w, http.StatusOK, out)
	return nil
}
