package history

import (
	"io/fs"
	"strconv"
	"strings"

	"ashbook/journal/disk"
)

// Perm returns the owner and mode for files and folders made in git's folder: the owner
// of that folder, even if root makes them, and the access that core.sharedRepository
// gives to others.
func (r *Repo) Perm() disk.Perm {
	set, err := r.settings()
	if err != nil {
		set = &settings{}
	}
	return r.perm(set)
}

// perm does what Perm does, for settings that are already read.
func (r *Repo) perm(set *settings) disk.Perm {
	p := disk.Perm{Like: r.common}
	if value, ok := set.get("core.sharedrepository"); ok {
		p.Adjust = shared(value)
	}
	return p
}

// shared returns how core.sharedRepository changes the mode of folders and of files
// that are not executable (git-config(1), and calc_shared_perm in git's path.c). It
// returns nil if nothing is shared.
func shared(value string) func(fs.FileMode) fs.FileMode {
	var tweak fs.FileMode
	exact := false
	switch strings.ToLower(value) {
	case "group", "1":
		tweak = 0o660
	case "all", "world", "everybody", "2":
		tweak = 0o664
	default:
		if isYes(value) {
			tweak = 0o660
			break
		}
		n, err := strconv.ParseUint(value, 8, 9)
		if err != nil || n&0o600 != 0o600 {
			return nil
		}
		tweak, exact = fs.FileMode(n&0o666), true
	}
	return func(mode fs.FileMode) fs.FileMode {
		t := tweak
		if mode&0o200 == 0 {
			t &^= 0o222
		}
		perm := mode.Perm() | t
		if exact {
			perm = t
		}
		if mode.IsDir() {
			perm |= perm & 0o444 >> 2
			if perm&0o060 != 0 {
				perm |= fs.ModeSetgid
			}
		}
		return mode&^fs.ModePerm | perm
	}
}
