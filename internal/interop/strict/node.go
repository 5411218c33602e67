package strict

import (
	"backroad/internal/fault"

	"go.yaml.in/yaml/v4"
)

// refusedKind marks a node that was refused already: whoever reads it says nothing
// more about it.
const refusedKind yaml.Kind = 0

// Node is one value of a file. The zero Node stands for a key that is not there.
type Node struct{ y *yaml.Node }

// Given reports whether there is a value.
func (n Node) Given() bool { return n.y != nil }

func (n Node) refused() bool { return n.y != nil && n.y.Kind == refusedKind }

// IsGroup reports whether the value is a group of keys.
func (n Node) IsGroup() bool { return n.y != nil && n.y.Kind == yaml.MappingNode }
func (n Node) isList() bool  { return n.y != nil && n.y.Kind == yaml.SequenceNode }
func (n Node) isText() bool  { return n.y != nil && n.y.Kind == yaml.ScalarNode }

// IsPlain reports whether the value is written without quotation marks.
func (n Node) IsPlain() bool {
	const quoted = yaml.SingleQuotedStyle | yaml.DoubleQuotedStyle | yaml.LiteralStyle | yaml.FoldedStyle
	return n.isText() && n.y.Style&quoted == 0
}

// Is reports whether the value is the given word.
func (n Node) Is(word string) bool { return n.isText() && n.y.Value == word }

// Scalar is the text of a value that is no list and no group, else "".
func (n Node) Scalar() string {
	if n.isText() {
		return n.y.Value
	}
	return ""
}

// Key returns the value at a key, the first where it stands twice.
func (n Node) Key(name string) Node {
	if !n.IsGroup() {
		return Node{}
	}
	for i := 0; i+1 < len(n.y.Content); i += 2 {
		if key := (Node{n.y.Content[i]}); key.isText() && key.y.Value == name {
			return Node{n.y.Content[i+1]}
		}
	}
	return Node{}
}

// Entries returns the values of a list.
func (n Node) Entries() []Node {
	if !n.isList() {
		return nil
	}
	entries := make([]Node, len(n.y.Content))
	for i, c := range n.y.Content {
		entries[i] = Node{c}
	}
	return entries
}

// Words says what a value is, for a message.
func (n Node) Words() string {
	switch {
	case n.IsGroup():
		return "a group of keys {…}"
	case n.isList():
		return "a list […]"
	case n.isText() && n.y.Value == "":
		return "an empty text"
	}
	return fault.Quote(n.Scalar())
}

// number reports whether YAML would take the value for a number.
func (n Node) number() bool {
	return n.isText() && (n.y.Tag == "!!int" || n.y.Tag == "!!float")
}
