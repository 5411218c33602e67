package app

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/interop/form"
	"backroad/internal/web"
)

// fileWords is what the keys of files are, found out from the readers themselves: each
// place is given a value that no key takes, and the fault says what is expected there.
// So pages offer what the readers take, and can't fall behind them.
func fileWords() web.FileWords {
	cases := &asker{schema: form.Case, decode: func(data []byte) fault.List {
		_, faults := files{}.ReadCase("case", data, nil)
		return faults
	}, keys: map[string]web.KeyWords{}}
	cases.group("", form.Group)
	w := web.FileWords{CaseKeys: cases.keys}
	for _, class := range gear.Classes {
		w.Classes = append(w.Classes, classWords(class))
	}
	return w
}

// classWords asks the reader of shelves what an item of a class has.
func classWords(class gear.Class) web.ClassWords {
	a := &asker{schema: form.Shelf, decode: func(data []byte) fault.List {
		_, faults := files{}.ReadShelf("shelf", data)
		return faults
	}, keys: map[string]web.KeyWords{}}
	a.group("/items/0", func() *form.Tree {
		return form.Group().Put("items", form.List(form.Group().Put("class", form.Text(string(class)))))
	})
	w := web.ClassWords{Class: string(class)}
	for _, path := range a.order {
		name := strings.TrimPrefix(path, "/items/*/")
		w.Keys = append(w.Keys, web.ClassKey{Name: name, KeyWords: a.keys[path]})
	}
	return w
}

// asker asks a reader of files what it takes.
type asker struct {
	schema *form.Schema
	decode func([]byte) fault.List
	keys   map[string]web.KeyWords // by path, with * for any place in a list
	order  []string
}

// odd is a text that no key but one of free text takes, and no key's name.
const odd = "§"

// ask reads a tree and gives its faults with their places.
func (a *asker) ask(t *form.Tree) []form.Placed {
	text, places := form.Write(t, a.schema)
	return places.PlaceAll(a.decode(text))
}

// group asks what keys a group has; seed makes a tree in which there is the group.
func (a *asker) group(path string, seed func() *form.Tree) {
	t := seed()
	t.At(path).Put(odd, form.Text(odd))
	faults := a.ask(t)
	i := slices.IndexFunc(faults, func(p form.Placed) bool { return p.Kind == fault.UnknownKey && p.Path == path+"/"+odd })
	if i < 0 {
		return
	}
	needed := map[string]string{}
	for _, p := range faults {
		if p.Kind == fault.MissingKey && p.Path == path {
			needed[p.Missing] = strings.TrimPrefix(p.Expected, p.Missing+": ")
		}
	}
	for _, key := range among(faults[i].Expected) {
		example, required := needed[key]
		if key != "schema" {
			a.key(path, key, seed, required || key == "class", example)
		}
	}
}

// key asks what a key holds, and what is in that.
func (a *asker) key(path, key string, seed func() *form.Tree, required bool, example string) {
	at := path + "/" + key
	with := func(v func() *form.Tree) func() *form.Tree {
		return func() *form.Tree {
			t := seed()
			t.At(path).Put(key, v())
			return t
		}
	}
	w := web.KeyWords{Kind: "text", Says: "a text", Required: required, Example: example}
	for _, p := range a.ask(with(func() *form.Tree { return form.Text(odd) })()) {
		if p.Path == at && p.Kind != fault.MissingKey && p.Kind != fault.Contradiction {
			w.Kind, w.Words, w.Says = heldBy(p.Fault)
			if w.Kind == "quantity" && w.Example == "" {
				w.Example = quoted.FindString(p.Expected)
				w.Example = strings.Trim(w.Example, "“”")
			}
			break
		}
	}
	a.keys[anyPlace(at)] = w
	a.order = append(a.order, anyPlace(at))
	if w.Kind == "list" {
		a.entry(at, with)
	}
	a.group(at, with(form.Group))
}

// entry asks what an entry of a list holds.
func (a *asker) entry(at string, with func(func() *form.Tree) func() *form.Tree) {
	t := with(func() *form.Tree { return form.List(form.Text(odd)) })()
	for _, p := range a.ask(t) {
		if p.Path == at+"/0" {
			w := web.KeyWords{}
			if w.Kind, w.Words, w.Says = heldBy(p.Fault); w.Kind == "quantity" {
				w.Example = strings.Trim(quoted.FindString(p.Expected), "“”")
			}
			a.keys[anyPlace(at+"/0")] = w
			break
		}
	}
	a.group(at+"/0", with(func() *form.Tree { return form.List(form.Group()) }))
}

var (
	quoted = regexp.MustCompile(`“[^”]*”`)
	places = regexp.MustCompile(`/\d+(/|$)`)
)

// anyPlace is a path with * for the places in lists.
func anyPlace(path string) string { return places.ReplaceAllString(path, "/*$1") }

// heldBy says what a key holds from the fault of an odd text in it.
func heldBy(f fault.Fault) (kind string, words []string, says string) {
	says = f.Expected
	switch {
	case f.Kind == fault.BadQuantity:
		says, _, _ = strings.Cut(says, " such as ")
		return "quantity", nil, says
	case f.Kind == fault.NotInList:
		return "word", among(f.Expected), says
	case strings.HasPrefix(says, "true, false"):
		return "answer", []string{"true", "false", "unknown"}, says
	case strings.HasPrefix(says, "a whole number"):
		return "whole", nil, says
	case strings.HasPrefix(says, "a list of "):
		return "list", nil, says
	case strings.HasPrefix(says, "a group of keys"):
		return "group", nil, "a group of keys"
	}
	return "text", nil, says
}

// among takes the words out of “one of a, b, c”.
func among(expected string) []string {
	_, list, ok := strings.Cut(expected, "one of ")
	if !ok {
		return nil
	}
	words := strings.Split(list, ", ")
	return slices.DeleteFunc(words, func(w string) bool { _, err := strconv.Unquote(w); return w == "" || err == nil })
}
