package strict

import (
	"fmt"

	"backroad/internal/fault"

	"go.yaml.in/yaml/v4"
)

// inspect goes through the whole file once and refuses what no table has to know of.
func (r *Reader) inspect(n Node, depth int) {
	if r.exotic(n) {
		return
	}
	if n.isText() {
		return
	}
	if depth > MostDepth {
		r.refuse(n, fault.TooDeep, fmt.Sprintf("lists or groups of keys nested deeper than %d", MostDepth), "a flatter file", "check the indentation and the brackets")
		return
	}
	if n.IsGroup() {
		r.inspectKeys(n)
	}
	for _, c := range n.y.Content {
		r.inspect(Node{c}, depth+1)
	}
}

// exotic refuses the parts of YAML that a file here can't have.
func (r *Reader) exotic(n Node) bool {
	const expected = "the value itself"
	switch {
	case n.refused():
	case n.y.Kind == yaml.AliasNode:
		r.refuse(n, fault.WrongKind, "a reference "+fault.Quote("*"+n.y.Value), expected, "write the value out; a text that begins with * needs quotation marks")
	case n.y.Anchor != "":
		r.refuse(n, fault.WrongKind, "a mark "+fault.Quote("&"+n.y.Anchor), expected, "take the mark away; a text that begins with & needs quotation marks")
	case n.y.Style&yaml.TaggedStyle != 0 || n.y.Tag == "!":
		r.refuse(n, fault.WrongKind, "a tag "+fault.Quote(n.y.Tag), expected, "take the tag away; a text that begins with ! needs quotation marks")
	case n.isText() && n.y.Tag == "!!null":
		r.refuse(n, fault.WrongKind, nullWords(n.y.Value), "a value", "write the value, or `unknown`, or take the key away")
	default:
		return false
	}
	return true
}

func nullWords(text string) string {
	if text == "" {
		return "no value"
	}
	return "the empty value " + fault.Quote(text)
}

// inspectKeys refuses keys that are no text.
func (r *Reader) inspectKeys(n Node) {
	for i := 0; i < len(n.y.Content); i += 2 {
		key := Node{n.y.Content[i]}
		switch {
		case key.IsGroup() || key.isList():
			r.refuse(key, fault.WrongKind, key.Words()+" as a key", "a word", "check the brackets and the colons")
		case key.isText() && key.y.Tag == "!!merge":
			r.refuse(key, fault.WrongKind, "a merge "+fault.Quote("<<"), "a key of this group", "write the keys out")
		case key.isText() && key.y.Tag == "!!null":
			r.refuse(key, fault.WrongKind, "a value without a key", "KEY: VALUE", "write the key in front of the colon")
		}
	}
}
