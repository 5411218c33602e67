package strict

import (
	"bytes"
	"errors"
	"io"
	"unicode/utf8"

	"backroad/internal/fault"

	"go.yaml.in/yaml/v4"
)

// byteOrderMark may stand in front of a file; columns do not count it.
var byteOrderMark = []byte("\xef\xbb\xbf")

// open parses a file into its outermost group. The zero Node with ok stands for a
// file without any content.
func (r *Reader) open(data []byte) (root Node, ok bool) {
	if len(data) > MostBytes {
		r.at(1, 1, fault.TooLarge, "a file of more than 4 MiB", "at most 4 MiB", "check which file was given")
		return Node{}, false
	}
	data = bytes.TrimPrefix(data, byteOrderMark)
	if !r.utf8(data) || !r.visible(data) {
		return Node{}, false
	}
	r.endLine, r.endCol = place(data, len(data))
	data, ok = r.survey(data)
	if !ok {
		return Node{}, false
	}
	root, ok = r.parse(data)
	if !ok || !root.Given() {
		return Node{}, ok
	}
	r.inspect(root, 1)
	if !root.IsGroup() {
		r.Fault(root, fault.WrongKind, root.Words(), "keys and values, a line each", "begin with the schema: schema: …")
		return Node{}, false
	}
	return root, true
}

// utf8 complains about the first byte that is not UTF-8.
func (r *Reader) utf8(data []byte) bool {
	if utf8.Valid(data) {
		return true
	}
	at := 0
	for at < len(data) {
		c, size := utf8.DecodeRune(data[at:])
		if c == utf8.RuneError && size == 1 {
			break
		}
		at += size
	}
	line, col := place(data, at)
	r.at(line, col, fault.NotUTF8, "a byte that is not UTF-8 text", "UTF-8 text", "save the file as UTF-8")
	return false
}

// unseen are the characters that the parser, but hardly any editor, takes for a line
// break: what follows one in a remark would count although nobody sees that it does.
const unseen = "\u0085\u2028\u2029"

// visible complains about the first line break that an editor does not show.
func (r *Reader) visible(data []byte) bool {
	at := bytes.IndexAny(data, unseen)
	if at < 0 {
		return true
	}
	line, col := place(data, at)
	r.at(line, col, fault.Syntax, "a line break that few programs show (U+0085, U+2028 or U+2029)", "the usual line break", "delete the character, or break the line")
	return false
}

// place returns the line and column of a byte.
func place(data []byte, at int) (line, col int) {
	before := data[:at]
	line = 1 + lineBreaks(before)
	begin := bytes.LastIndexAny(before, "\r\n") + 1
	return line, 1 + utf8.RuneCount(before[begin:])
}

// lineBreaks counts them; a carriage return and line feed together are one.
func lineBreaks(data []byte) int {
	return bytes.Count(data, []byte("\n")) + bytes.Count(data, []byte("\r")) - bytes.Count(data, []byte("\r\n"))
}

// parse runs the YAML parser over the one document.
func (r *Reader) parse(data []byte) (Node, bool) {
	guard := &guard{}
	loader, err := yaml.NewLoader(bytes.NewReader(data), yaml.WithPlugin(guard))
	if err != nil {
		panic("internal error: the parser refuses its options: " + err.Error())
	}
	var doc, next yaml.Node
	err = loader.Load(&doc)
	if errors.Is(err, io.EOF) {
		return Node{}, true
	}
	if err == nil {
		err = loader.Load(&next)
		if errors.Is(err, io.EOF) {
			return content(doc), true
		}
	}
	if err == nil {
		r.secondDocument(next.Line, next.Column)
		return content(doc), true
	}
	r.stopped(data, err, guard.tooDeep)
	return Node{}, false
}

// content is what a document holds; nothing at all and an empty document are alike.
func content(doc yaml.Node) Node {
	if len(doc.Content) == 0 {
		return Node{}
	}
	n := Node{doc.Content[0]}
	if n.IsPlain() && n.y.Value == "" && n.y.Style == 0 && n.y.Anchor == "" {
		return Node{}
	}
	return n
}

func (r *Reader) secondDocument(line, col int) {
	r.at(line, col, fault.SecondDoc, "a second document", "one document in a file", "take away the line --- or move what follows to a file of its own")
}

// parserDepth is where the parser itself stops. It counts brackets and indentations
// apart, so it must be larger than MostDepth for inspect to see the exact place.
const parserDepth = 2 * MostDepth

// guard keeps the parser from deep nesting and from following references.
type guard struct{ tooDeep bool }

var errTooDeep = errors.New("too deep")

// CheckDepth is called for each bracket or indentation that opens.
func (g *guard) CheckDepth(depth int, _ *yaml.DepthContext) error {
	g.tooDeep = depth > parserDepth
	if g.tooDeep {
		return errTooDeep
	}
	return nil
}

// CheckAlias has nothing to check: no reference is followed.
func (g *guard) CheckAlias(int, int) error { return nil }

// NewAliasDataContext makes every reference resolve to nothing, so that inspect can
// report each of them.
func (g *guard) NewAliasDataContext(yaml.AliasDataServices) (yaml.AliasDataContext, error) {
	return noAliases{}, nil
}

type noAliases struct{}

var nothing = &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!null"}

func (noAliases) BeginDocument() error                          { return nil }
func (noAliases) EndDocument() error                            { return nil }
func (noAliases) DefineAnchor(string, *yaml.Node) error         { return nil }
func (noAliases) ResolveAlias(string) (*yaml.Node, bool, error) { return nothing, true, nil }
