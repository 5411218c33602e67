package app

import "backroad/internal/web"

// fileWords is what the keys of files are.
func fileWords() web.FileWords {
	return web.FileWords{CaseKeys: map[string]web.KeyWords{}, Classes: []web.ClassWords{}}
}
