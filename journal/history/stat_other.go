//go:build !linux && !darwin

package history

import "io/fs"

// system sets nothing: these systems have no such fields. If git's index has them, git
// reads the file once more and writes them itself.
func (s *stat) system(fs.FileInfo) {}
