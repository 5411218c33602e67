package form

import (
	"bytes"
	"strconv"

	"backroad/internal/interop/strict"

	"go.yaml.in/yaml/v4"
)

// Read gives the tree of a text that a decoder has accepted; ok is false where that
// can't be: the text is no file.
func Read(text []byte) (t *Tree, ok bool) {
	root, ok := parse(text)
	if !ok {
		return nil, false
	}
	if root == nil {
		return Group(), true
	}
	t, ok = read(root, 1)
	return t, ok && t.kind == groupKind
}

// Locate says what stands where in a text that somebody wrote; of one that can't be
// parsed it knows nothing.
func Locate(text []byte) *Places {
	p := newPlaces()
	if root, ok := parse(text); ok && root != nil {
		locate(p, root, "", 1)
	}
	return p
}

// parse parses a text; package strict has looked at its size and depth before, so that
// no text can claim more memory than a machine has.
func parse(text []byte) (*yaml.Node, bool) {
	if strict.SchemaOf(text) == "" {
		return nil, false
	}
	text = bytes.TrimPrefix(text, []byte("\xef\xbb\xbf"))
	var doc yaml.Node
	if err := yaml.Unmarshal(text, &doc); err != nil || len(doc.Content) == 0 {
		return nil, false
	}
	return doc.Content[0], true
}

func read(n *yaml.Node, depth int) (*Tree, bool) {
	if depth > strict.MostDepth+1 {
		return nil, false
	}
	switch n.Kind {
	case yaml.ScalarNode:
		return Text(n.Value), true
	case yaml.SequenceNode:
		t := List()
		for _, c := range n.Content {
			part, ok := read(c, depth+1)
			if !ok {
				return nil, false
			}
			t.parts = append(t.parts, part)
		}
		return t, true
	case yaml.MappingNode:
		t := Group()
		for i := 0; i+1 < len(n.Content); i += 2 {
			part, ok := read(n.Content[i+1], depth+1)
			if !ok || n.Content[i].Kind != yaml.ScalarNode {
				return nil, false
			}
			t.keys, t.parts = append(t.keys, n.Content[i].Value), append(t.parts, part)
		}
		return t, true
	}
	return nil, false
}

func locate(p *Places, n *yaml.Node, path string, depth int) {
	if depth > strict.MostDepth+1 {
		return
	}
	p.value(n.Line, n.Column, path)
	switch n.Kind {
	case yaml.SequenceNode:
		for i, c := range n.Content {
			locate(p, c, path+"/"+strconv.Itoa(i), depth+1)
		}
	case yaml.MappingNode:
		for i := 0; i+1 < len(n.Content); i += 2 {
			key := n.Content[i]
			at := path + "/" + escape(key.Value)
			p.key(key.Line, key.Column, at)
			locate(p, n.Content[i+1], at, depth+1)
		}
	}
}
