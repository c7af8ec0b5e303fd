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

// Unfit is the error of a remote that holds what a journal never has. Nothing of it is
// taken in.
type Unfit struct {
	Wrong []string // what, each a clause in plain words, names quoted
	More  int      // how many more there are
}

func (u Unfit) Error() string {
	text := "the remote holds what a journal never has, so nothing was taken in: " + strings.Join(u.Wrong, "; ")
	if u.More > 0 {
		text += fmt.Sprintf("; and %d more", u.More)
	}
	return text
}

// mostWrong is how many are named (chosen).
const mostWrong = 5

func (u *Unfit) add(format string, args ...any) {
	if len(u.Wrong) < mostWrong {
		u.Wrong = append(u.Wrong, fmt.Sprintf(format, args...))
	} else {
		u.More++
	}
}

// inspect goes through everything that a remote's newest commit leads to and known ones
// do not: every file and folder of every version. It fails with Unfit, and where
// something is missing.
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

// Largest files that are taken from others, bytes (chosen: a cook may have as much as is
// read of one; a large photograph fits).
const (
	mostPage    = 4 << 20
	mostPicture = 16 << 20
)

// unfit says why no journal has such a file, "" if one may.
func unfit(o *history.Objects, n history.New) string {
	if why := badName(n.Name); why != "" {
		return why
	}
	if strings.Count(n.Path, "/") > 8 {
		return "lies too deep"
	}
	switch n.What() {
	case history.Folder:
		return ""
	case history.Link:
		return "is a symbolic link"
	case history.Repository:
		return "is a repository of its own"
	case history.Program:
		return "is marked as a program (git update-index --chmod=-x takes the mark off)"
	case history.Nothing:
		return "is no file"
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

// reserved are names that Windows takes for devices, with whatever ending (Microsoft,
// "Naming Files, Paths, and Namespaces").
var reserved = []string{"con", "prn", "aux", "nul", "conin$", "conout$",
	"com0", "com1", "com2", "com3", "com4", "com5", "com6", "com7", "com8", "com9", "com¹", "com²", "com³",
	"lpt0", "lpt1", "lpt2", "lpt3", "lpt4", "lpt5", "lpt6", "lpt7", "lpt8", "lpt9", "lpt¹", "lpt²", "lpt³"}

// badName says why a name is none that every system can write, or one that means
// something to git; "" if it is none of these.
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
		return "has a name that Windows keeps for a device"
	case strings.HasPrefix(strings.ToLower(name), "git~"):
		return "has a name that leads into git's own folder on Windows"
	case len(name) > 200:
		return "has too long a name"
	}
	return ""
}

// harmless are the attributes that run nothing and change no bytes but line ends.
var harmless = []string{"text", "-text", "!text", "text=auto", "eol=lf", "eol=crlf", "binary", "diff", "-diff", "-merge",
	"merge=ashbook", "merge=union", "merge=text", "merge=binary", "whitespace"}

// badAttributes says why attributes are not taken from others: a filter or a driver is a
// program that the person has set up for something else.
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
				return fmt.Sprintf("has git use %q on files", a)
			}
		}
	}
	return ""
}

// collide fails with Unfit where two names, of which a remote brings at least one, are
// one on systems that do not tell capitals from small letters, or where a folder and a
// file have one name.
func collide(ours map[string]history.Entry, added []string) error {
	names := map[string]string{}
	var u Unfit
	note := func(p string, check bool) {
		for at := 0; at < len(p); {
			name := p
			if i := strings.IndexByte(p[at:], '/'); i >= 0 {
				name = p[:at+i+1] // a folder
			}
			at = len(name)
			key := strings.ToLower(strings.ToUpper(strings.TrimSuffix(name, "/")))
			if was, there := names[key]; check && there && was != name {
				u.add("%q and %q are one name on some systems", was, name)
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
