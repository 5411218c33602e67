package web

import (
	"container/list"
	"crypto/sha256"
	"sync"
)

// memory keeps what was worked out from texts by their hash: the same bytes give the same
// answer. What it holds is shared and must not be changed. It forgets what was not asked
// for longest.
type memory struct {
	mu    sync.Mutex
	of    map[memoryKey]*list.Element
	order *list.List // newest first
}

type memoryKey struct {
	what string
	hash [sha256.Size]byte
}

type memoryEntry struct {
	key   memoryKey
	value any
}

// mostKept is how many answers are kept: the shelves, houses and cases that a few screens
// look at.
const mostKept = 64

func newMemory() *memory { return &memory{of: map[memoryKey]*list.Element{}, order: list.New()} }

// remember answers from memory, or works the answer out. Two that ask at once may both
// work it out.
func remember[T any](m *memory, what string, data []byte, work func() T) T {
	key := memoryKey{what, sha256.Sum256(data)}
	m.mu.Lock()
	if e, ok := m.of[key]; ok {
		m.order.MoveToFront(e)
		v := e.Value.(*memoryEntry).value
		m.mu.Unlock()
		return v.(T)
	}
	m.mu.Unlock()
	v := work()
	m.mu.Lock()
	defer m.mu.Unlock()
	if _, ok := m.of[key]; !ok {
		m.of[key] = m.order.PushFront(&memoryEntry{key, v})
		if m.order.Len() > mostKept {
			oldest := m.order.Back()
			m.order.Remove(oldest)
			delete(m.of, oldest.Value.(*memoryEntry).key)
		}
	}
	return v
}
