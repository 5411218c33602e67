package web

// leaves are the values of a text, none of no text.
func (s *Server) leaves(data []byte) []Leaf {
	if len(data) == 0 {
		return nil
	}
	return remember(s.memory, "leaves", data, func() []Leaf { return s.Forms.Leaves(data) })
}

// differing lists the paths whose values differ between two texts, in the order of the
// newer one, then those that it no longer has.
func differing(old, new []Leaf) []string {
	paths := []string{}
	before, after := byPath(old), byPath(new)
	for _, l := range new {
		if was, ok := before[l.Path]; !ok || was != l.Text {
			paths = append(paths, l.Path)
		}
	}
	for _, l := range old {
		if _, ok := after[l.Path]; !ok {
			paths = append(paths, l.Path)
		}
	}
	return paths
}

// same reports whether two texts hold the same values; their order is of no account.
func same(a, b []Leaf) bool { return len(a) == len(b) && len(differing(a, b)) == 0 }

func byPath(list []Leaf) map[string]string {
	m := make(map[string]string, len(list))
	for _, l := range list {
		m[l.Path] = l.Text
	}
	return m
}

// changes lists every value that differs between their newest and yours, with what it
// was where both started.
func changes(base, theirs, yours []Leaf) []changed {
	list := []changed{}
	b, t, y := byPath(base), byPath(theirs), byPath(yours)
	for _, path := range differing(theirs, yours) {
		list = append(list, changed{path, at(b, path), at(t, path), at(y, path)})
	}
	return list
}

// at is the value at a path, nil where there is none.
func at(values map[string]string, path string) *string {
	if v, ok := values[path]; ok {
		return &v
	}
	return nil
}
