package history

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"github.com/go-git/gcfg"
	"github.com/go-git/go-git/v5/config"
)

// settings are git's settings as git reads them: those of the machine, of the user and
// of the repository, each with the files it includes. See "CONFIGURATION FILE" and
// "Includes" in gitconfig(5).
//
// Note: go-git's reader was tried and dropped: it ignores includes, and it merges
// sections of the same name, which loses the order of an include and what it may
// override.
type settings struct {
	values map[string]string // by "section.key" or "section.NAME.key"; section and key in lower case
}

// get returns the value of a key; if it is set several times, the last one.
func (s *settings) get(key string) (string, bool) {
	v, ok := s.values[key]
	return v, ok
}

// isTrue returns a yes-or-no setting as git reads it. A key without a value means yes.
func (s *settings) isTrue(key string) bool {
	v, ok := s.values[key]
	return ok && isYes(v)
}

func isYes(v string) bool {
	switch strings.ToLower(v) {
	case "true", "yes", "on", "1":
		return true
	}
	return false
}

// home returns the user's home folder, or "" if it is not known.
func home() string {
	dir, err := os.UserHomeDir()
	if err != nil {
		return ""
	}
	return dir
}

// gitHome returns the folder for the user's git settings under $XDG_CONFIG_HOME, or "".
func gitHome() string {
	if dir := os.Getenv("XDG_CONFIG_HOME"); dir != "" {
		return filepath.Join(dir, "git")
	}
	if dir := home(); dir != "" {
		return filepath.Join(dir, ".config", "git")
	}
	return ""
}

// settings reads the settings. It skips files that cannot be read or parsed, except the
// repository's own, whose error it returns.
func (r *Repo) settings() (*settings, error) {
	var files []string
	if name, set := os.LookupEnv("GIT_CONFIG_SYSTEM"); set {
		files = append(files, name)
	} else if !isYes(os.Getenv("GIT_CONFIG_NOSYSTEM")) {
		if system, err := config.Paths(config.SystemScope); err == nil {
			files = append(files, system...)
		}
	}
	if name, set := os.LookupEnv("GIT_CONFIG_GLOBAL"); set {
		files = append(files, name)
	} else {
		if dir := gitHome(); dir != "" {
			files = append(files, filepath.Join(dir, "config"))
		}
		if dir := home(); dir != "" {
			files = append(files, filepath.Join(dir, ".gitconfig"))
		}
	}
	own := filepath.Join(r.common, "config")
	s := &settings{values: map[string]string{}}
	rd := reader{repo: r, to: s, files: append(files, own)}
	for _, name := range files {
		rd.file(name, 0)
	}
	err := rd.file(own, 0)
	if s.isTrue("extensions.worktreeconfig") {
		rd.file(filepath.Join(r.git, "config.worktree"), 0)
	}
	return s, err
}

// reader reads settings files into settings.
type reader struct {
	repo  *Repo
	to    *settings
	files []string // the files read first, the repository's own last
	urls  []string // cached result of remotes
}

// remotes returns every remote.*.url of the files, without those in included files. It
// reads them only when an includeIf needs them, and once.
func (rd *reader) remotes() []string {
	for _, name := range rd.files {
		data, err := readRegular(name)
		if err != nil {
			continue
		}
		gcfg.ReadWithCallback(bytes.NewReader(data), func(section, _, key, value string, _ bool) error {
			if strings.EqualFold(section, "remote") && strings.EqualFold(key, "url") {
				rd.urls = append(rd.urls, value)
			}
			return nil
		})
	}
	rd.files = nil
	return rd.urls
}

// mostIncludes is the largest depth of nested includes, as in git.
const mostIncludes = 10

func (rd *reader) file(name string, depth int) error {
	data, err := readRegular(name)
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	if err != nil || depth > mostIncludes {
		return err
	}
	return gcfg.ReadWithCallback(bytes.NewReader(data), func(section, name2, key, value string, blank bool) error {
		if key == "" {
			return nil
		}
		section, key = strings.ToLower(section), strings.ToLower(key)
		if blank {
			value = "true"
		}
		full := section + "." + key
		if name2 != "" {
			full = section + "." + name2 + "." + key
		}
		if key == "path" && (section == "include" || section == "includeif" && rd.holds(name2, filepath.Dir(name))) {
			rd.file(expand(value, filepath.Dir(name)), depth+1)
		}
		rd.to.values[full] = value
		return nil
	})
}

// expand returns the file that a path in a settings file in dir refers to.
func expand(path, dir string) string {
	if rest, ok := strings.CutPrefix(path, "~/"); ok {
		return filepath.Join(home(), rest)
	}
	if !filepath.IsAbs(path) {
		return filepath.Join(dir, path)
	}
	return path
}

// holds reports whether the condition of an includeIf is met. dir is the folder of the
// file it is in.
func (rd *reader) holds(condition, dir string) bool {
	kind, pattern, _ := strings.Cut(condition, ":")
	switch kind {
	case "gitdir", "gitdir/i":
		if rest, ok := strings.CutPrefix(pattern, "./"); ok {
			pattern = filepath.ToSlash(dir) + "/" + rest
		} else if rest, ok := strings.CutPrefix(pattern, "~/"); ok {
			pattern = filepath.ToSlash(home()) + "/" + rest
		} else if !filepath.IsAbs(filepath.FromSlash(pattern)) {
			pattern = "**/" + pattern
		}
		if strings.HasSuffix(pattern, "/") {
			pattern += "**"
		}
		match := glob(pattern, kind == "gitdir/i")
		return match != nil && match.MatchString(filepath.ToSlash(rd.repo.git))
	case "onbranch":
		if strings.HasSuffix(pattern, "/") {
			pattern += "**"
		}
		branch, err := rd.repo.branch()
		match := glob(pattern, false)
		return err == nil && match != nil && match.MatchString(branch.Short())
	case "hasconfig":
		pattern, ok := strings.CutPrefix(pattern, "remote.*.url:")
		match := glob(pattern, false)
		if !ok || match == nil {
			return false
		}
		for _, url := range rd.remotes() {
			if match.MatchString(url) {
				return true
			}
		}
	}
	return false
}

// glob returns a regular expression that matches whole paths like a git path pattern;
// nil for an invalid pattern. A star does not match a slash. "**" between slashes
// matches any number of folders.
func glob(pattern string, fold bool) *regexp.Regexp {
	var b strings.Builder
	b.WriteString("(?s)^")
	if fold {
		b.WriteString("(?i)")
	}
	for i := 0; i < len(pattern); {
		rest := pattern[i:]
		atStart := i == 0 || pattern[i-1] == '/'
		switch {
		case atStart && strings.HasPrefix(rest, "**/"):
			b.WriteString("(?:.*/)?")
			i += 3
		case atStart && rest == "**":
			b.WriteString(".*")
			i += 2
		case rest[0] == '*':
			b.WriteString("[^/]*")
			i++
		case rest[0] == '?':
			b.WriteString("[^/]")
			i++
		case rest[0] == '[':
			set, n := globSet(rest)
			if n == 0 {
				return nil
			}
			b.WriteString(set)
			i += n
		case rest[0] == '\\' && len(rest) > 1:
			b.WriteString(regexp.QuoteMeta(rest[1:2]))
			i += 2
		default:
			b.WriteString(regexp.QuoteMeta(rest[:1]))
			i++
		}
	}
	b.WriteString("$")
	re, err := regexp.Compile(b.String())
	if err != nil {
		return nil
	}
	return re
}

// globSet converts the bracket set at the start of pattern, such as "[!a-z[:digit:]]", to
// a regular expression. n is its length in bytes, 0 if it has no end.
func globSet(pattern string) (set string, n int) {
	in := strings.NewReplacer(`[`, `\[`, `]`, `\]`, `^`, `\^`, `&`, `\&`, `~`, `\~`)
	var b strings.Builder
	b.WriteString("[")
	i := 1
	if strings.HasPrefix(pattern[i:], "!") || strings.HasPrefix(pattern[i:], "^") {
		b.WriteString("^/")
		i++
	}
	for first := i; i < len(pattern); i++ {
		switch end := strings.Index(pattern[i:], ":]"); {
		case pattern[i] == ']' && i > first: // a bracket that comes first is a literal one
			return b.String() + "]", i + 1
		case strings.HasPrefix(pattern[i:], "[:") && end > 0:
			b.WriteString(pattern[i : i+end+2])
			i += end + 1
		case pattern[i] == '\\' && i+1 < len(pattern):
			i++
			b.WriteString(regexp.QuoteMeta(pattern[i : i+1]))
		default:
			b.WriteString(in.Replace(pattern[i : i+1]))
		}
	}
	return "", 0
}
