package archive

import "context"

// Undo makes a next version with the text that the present one was made from; ok is
// false where there is nothing to undo. It names the version that the asker saw, as a
// save does.
func Undo(ctx context.Context, a Archive, kind Kind, id string, base int) (v Version, ok bool, err error) {
	rows, err := a.History(ctx, kind, id)
	if err != nil {
		return v, false, err
	}
	head := rows[len(rows)-1]
	if base != head.Version {
		return v, false, &Conflict{Base: base, Head: head}
	}
	before := rows[head.Of-1].Before
	if before == 0 {
		return v, false, nil
	}
	v, err = TakeUp(ctx, a, Ref{kind, id, before}, base, Undone)
	return v, err == nil, err
}

// Redo makes a next version with the text that was undone last; ok is false where
// there is nothing to redo.
func Redo(ctx context.Context, a Archive, kind Kind, id string, base int) (v Version, ok bool, err error) {
	rows, err := a.History(ctx, kind, id)
	if err != nil {
		return v, false, err
	}
	head := rows[len(rows)-1]
	if base != head.Version {
		return v, false, &Conflict{Base: base, Head: head}
	}
	next := After(rows)
	if next == 0 {
		return v, false, nil
	}
	v, err = TakeUp(ctx, a, Ref{kind, id, next}, base, Redone)
	return v, err == nil, err
}

// After is the version that a redo would take up, 0 where there is none: the latest one
// whose text was made from the present text, where the present text came by an undo or a
// redo. A new text ends that, as people expect.
func After(rows []Version) int {
	head := rows[len(rows)-1]
	if head.Note != Undone && head.Note != Redone {
		return 0
	}
	for i := len(rows) - 1; i >= 0; i-- {
		if rows[i].Of == rows[i].Version && rows[i].Before == head.Of {
			return rows[i].Version
		}
	}
	return 0
}

// TakeUp makes a next version with the text of an older one. With the notes Undone and
// Redone it stands for that version in what undo and redo do next; with any other it is a
// change like an edit, and undo goes back to what stood before it.
func TakeUp(ctx context.Context, a Archive, ref Ref, base int, note Note) (Version, error) {
	old, err := a.At(ctx, ref)
	if err != nil {
		return Version{}, err
	}
	d := Draft{Kind: ref.Kind, ID: ref.ID, Title: old.Title, Base: base, Note: note, Gone: old.Gone, Text: old.Text}
	if note == Undone || note == Redone {
		d.Of = old.Of
	}
	return a.Save(ctx, d)
}
