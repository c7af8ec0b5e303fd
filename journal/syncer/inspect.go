package syncer

import (
	"context"
	"fmt"
	"path"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"ashbook/journal/history"
	"ashbook/journal/series"
)

// Unfit is the error for a remote that contains something no journal has. Nothing of
// the remote is taken in.
type Unfit struct {
	Wrong []string // what is wrong, each in plain words with names quoted
	More  int      // number of further faults
}

func (u Unfit) Error() string {
	text := "the remote has files or history that no journal has, so nothing was taken in: " + strings.Join(u.Wrong, "; ")
	if u.More > 0 {
		text += fmt.Sprintf("; and %d more", u.More)
	}
	return text
}

// mostWrong is the largest number of faults listed (chosen).
const mostWrong = 5

func (u *Unfit) add(format string, args ...any) {
	if len(u.Wrong) < mostWrong {
		u.Wrong = append(u.Wrong, fmt.Sprintf(format, args...))
	} else {
		u.More++
	}
}

// inspect checks everything reachable from a remote's newest commit but not from known:
// every file and folder of every version. It fails with Unfit if something is not
// allowed, and also fails if an object is missing.
func inspect(ctx context.Context, o *history.Objects, tip string, known []string) error {
	var u Unfit
	err := o.New(tip, known, func(n history.New) error {
		why, err := o.Flaw(n)
		if err != nil {
			return err
		}
		if why == "" && n.Path != "" {
			why = unfit(o, n)
		}
		switch {
		case why != "" && n.Path != "":
			u.add("%q %s", n.Path, why)
		case why != "":
			u.add("git object %s %s", n.Hash, why)
		}
		return ctx.Err()
	})
	if err != nil {
		return err
	}
	if len(u.Wrong) > 0 {
		return u
	}
	return nil
}

// Largest files accepted from others, in bytes (chosen: the largest cook that is read,
// and a large photograph).
const (
	mostPage    = 4 << 20
	mostPicture = 16 << 20
)

// unfit says in plain words why no journal has such a file; "" if one may.
func unfit(o *history.Objects, n history.New) string {
	if why := badName(n.Name); why != "" {
		return why
	}
	if strings.Count(n.Path, "/") > 8 {
		return "is in too many nested folders"
	}
	switch n.What() {
	case history.Folder:
		return ""
	case history.Link:
		return "is a symbolic link"
	case history.Repository:
		return "is a git repository of its own"
	case history.Program:
		return "is marked as a program (git update-index --chmod=-x takes the mark off)"
	case history.Nothing:
		return "is not a file"
	}
	most := int64(mostPicture)
	switch path.Ext(n.Path) {
	case ".md":
		most = mostPage
	case ".csv":
		most = series.MaxBytes
	}
	if n.Size > most {
		return fmt.Sprintf("has %d MB", n.Size>>20)
	}
	if path.Base(n.Path) == ".gitattributes" {
		return badAttributes(o, n.Hash.String())
	}
	return ""
}

// reserved are names that Windows takes for devices, with any extension (Microsoft,
// "Naming Files, Paths, and Namespaces").
var reserved = []string{"con", "prn", "aux", "nul", "conin$", "conout$",
	"com0", "com1", "com2", "com3", "com4", "com5", "com6", "com7", "com8", "com9", "com¹", "com²", "com³",
	"lpt0", "lpt1", "lpt2", "lpt3", "lpt4", "lpt5", "lpt6", "lpt7", "lpt8", "lpt9", "lpt¹", "lpt²", "lpt³"}

// badName says in plain words what is wrong with a name: some system cannot write it,
// or it has a special meaning for git. It returns "" for a good name.
func badName(name string) string {
	stem, _, _ := strings.Cut(strings.ToLower(name), ".")
	switch {
	case name == ".gitattributes" || name == ".gitignore":
		return ""
	case name == "" || name == "." || name == "..":
		return "leads out of its folder"
	case !utf8.ValidString(name):
		return "has a name that is not UTF-8"
	case strings.ContainsAny(name, `<>:"/\|?*`) || strings.ContainsFunc(name, func(r rune) bool {
		return unicode.IsControl(r) || unicode.Is(unicode.Cf, r) || r == '\u2028' || r == '\u2029' || r == utf8.RuneError
	}):
		return "has a name that not every system can write"
	case strings.HasPrefix(name, "."):
		return "is hidden"
	case strings.HasSuffix(name, ".") || strings.HasSuffix(name, " ") || strings.HasPrefix(name, " "):
		return "has a name that not every system can write"
	case slices.Contains(reserved, strings.TrimRight(stem, " ")):
		return "has a name that Windows uses for a device"
	case strings.HasPrefix(strings.ToLower(name), "git~"):
		return "has a name that leads into git's own folder on Windows"
	case len(name) > 200:
		return "has too long a name"
	}
	return ""
}

// harmless are the git attributes that run no program and change no bytes except line
// ends.
var harmless = []string{"text", "-text", "!text", "text=auto", "eol=lf", "eol=crlf", "binary", "diff", "-diff", "-merge",
	"merge=ashbook", "merge=union", "merge=text", "merge=binary", "whitespace"}

// badAttributes says why an attributes file is not accepted from others; "" if it is. A
// filter or a merge driver in it would run a program that the user set up for something
// else.
func badAttributes(o *history.Objects, hash string) string {
	text, err := o.Bytes(hash)
	if err != nil {
		return "cannot be read"
	}
	for line := range strings.Lines(string(text)) {
		fields := strings.Fields(line)
		if len(fields) == 0 || strings.HasPrefix(fields[0], "#") {
			continue
		}
		for _, a := range fields[1:] {
			if !slices.Contains(harmless, a) {
				return fmt.Sprintf("makes git use %q on files", a)
			}
		}
	}
	return ""
}

// collide fails with Unfit if two names differ only in capitals, or a folder and a file
// have the same name, and the remote added at least one of them. Some systems cannot
// store both.
func collide(ours map[string]history.Entry, added []string) error {
	names := map[string]string{}
	var u Unfit
	note := func(p string, check bool) {
		for at := 0; at < len(p); {
			name := p
			if i := strings.IndexByte(p[at:], '/'); i >= 0 {
				name = p[:at+i+1] // the name of a folder
			}
			at = len(name)
			key := strings.ToLower(strings.ToUpper(strings.TrimSuffix(name, "/")))
			if was, there := names[key]; check && there && was != name {
				u.add("%q and %q are the same name on some systems", was, name)
				return
			}
			names[key] = name
		}
	}
	for p := range ours {
		note(p, false)
	}
	for _, p := range added {
		note(p, true)
	}
	if len(u.Wrong) > 0 {
		return u
	}
	return nil
}
