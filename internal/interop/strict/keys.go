package strict

import (
	"backroad/internal/tri"
	"backroad/internal/unit"
)

// The rows that most tables are made of. Each takes a function that finds the field
// which the key fills.

// TextKey is a key whose value is a text.
func TextKey[T any](name string, at func(*T) *string) Key[T] {
	return Key[T]{Name: name,
		Read:  func(r *Reader, n Node, into *T) { *at(into), _ = r.Text(n) },
		Write: func(from *T) Doc { return Quoted(*at(from)) },
	}
}

// WordKey is a key whose value is a word of a closed list.
func WordKey[T any, S ~string](name string, list []S, at func(*T) *S) Key[T] {
	words := make([]string, len(list))
	for i, w := range list {
		words[i] = string(w)
	}
	return Key[T]{Name: name,
		Read: func(r *Reader, n Node, into *T) {
			word, _ := r.OneOf(n, words)
			*at(into) = S(word)
		},
		Write: func(from *T) Doc { return Plain(string(*at(from))) },
	}
}

// AnswerKey is a key whose value is true, false or unknown.
func AnswerKey[T any](name string, at func(*T) *tri.Answer) Key[T] {
	return Key[T]{Name: name,
		Read:  func(r *Reader, n Node, into *T) { *at(into), _ = r.Answer(n) },
		Write: func(from *T) Doc { return Plain(at(from).String()) },
	}
}

// WholeKey is a key whose value is a whole number from least to most. It is always
// written.
func WholeKey[T any](name string, least, most int, at func(*T) *int) Key[T] {
	return Key[T]{Name: name,
		Read:  func(r *Reader, n Node, into *T) { *at(into), _ = r.Whole(n, least, most) },
		Write: func(from *T) Doc { return Count(*at(from)) },
	}
}

// QuantityKey is a key whose value is a quantity within bounds.
func QuantityKey[T any, Q ~float64](name string, k *unit.Kind, b Bounds, at func(*T) *unit.Measured[Q]) Key[T] {
	return Key[T]{Name: name, Open: true,
		Read:  func(r *Reader, n Node, into *T) { *at(into), _ = Quantity[Q](r, n, k, b) },
		Write: func(from *T) Doc { return Measure(*at(from), k) },
	}
}

// GroupKey is a key whose value is a group with a table of its own; given is set
// where the key stands in the file, and says whether it is written.
func GroupKey[T, U any](name string, g *Group[U], block bool, at func(*T) *U, given func(*T) *bool) Key[T] {
	return Key[T]{Name: name,
		Read: func(r *Reader, n Node, into *T) { *given(into) = g.Read(r, n, at(into)) },
		Write: func(from *T) Doc {
			if !*given(from) {
				return Doc{}
			}
			return g.doc(at(from), block)
		},
	}
}
