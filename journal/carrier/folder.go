package carrier

import (
	"context"

	"ashbook/journal/history"
)

// Folder transfers commits through a bare repository in a folder, without the git
// program.
type Folder struct {
	Repo *history.Repo
	Hub  *history.Hub
}

// Fetch copies what is new in the folder's repository.
func (f Folder) Fetch(_ context.Context, into *history.Inbox, branch string, known []string) (string, error) {
	return f.Hub.Fetch(into, branch, known...)
}

// Push sends what the folder's repository lacks.
func (f Folder) Push(_ context.Context, branch, old, tip string) (bool, error) {
	o, err := f.Repo.Objects()
	if err != nil {
		return false, err
	}
	return f.Hub.Push(o, branch, old, tip)
}
