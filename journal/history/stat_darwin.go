package history

import (
	"io/fs"
	"syscall"
)

// system sets what git stores about a file besides its size and time.
func (s *stat) system(info fs.FileInfo) {
	sys, ok := info.Sys().(*syscall.Stat_t)
	if !ok {
		return
	}
	s.ctimeSec, s.ctimeNano = uint32(sys.Ctimespec.Sec), uint32(sys.Ctimespec.Nsec)
	s.dev, s.ino, s.uid, s.gid = uint32(sys.Dev), uint32(sys.Ino), sys.Uid, sys.Gid
}
