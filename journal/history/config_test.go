package history

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The author of a commit is the one that `git var GIT_AUTHOR_IDENT` prints.
func TestIdentityAsGitFindsIt(t *testing.T) {
	needGit(t)
	me := func(name string) string {
		return "[user]\n\tname = " + name + "\n\temail = " + name + "@hall.example\n"
	}
	for name, c := range map[string]struct {
		global string // the user's settings; DIR is replaced by the journal's folder
		own    string // text appended to .git/config
		want   string
	}{
		"plain":                        {global: me("Plain"), want: "Plain"},
		"include":                      {global: "[include]\n\tpath = inc\n", want: "Inc"},
		"include from home":            {global: "[include]\n\tpath = ~/inc\n", want: "Inc"},
		"include, overridden below":    {global: "[include]\n\tpath = inc\n" + me("Below"), want: "Below"},
		"include, overriding":          {global: me("Above") + "[include]\n\tpath = inc\n", want: "Inc"},
		"an include of an include":     {global: "[include]\n\tpath = outer\n", want: "Inc"},
		"an include that is not there": {global: me("Plain") + "[include]\n\tpath = nowhere\n", want: "Plain"},
		// git itself fails here
		"an include of itself":          {own: me("Plain") + "[include]\n\tpath = config\n", want: "Plain"},
		"of the repository":             {global: me("Plain"), own: "[include]\n\tpath = ../own\n", want: "Own"},
		"gitdir":                        {global: "[includeIf \"gitdir:DIR/.git\"]\n\tpath = inc\n", want: "Inc"},
		"gitdir, a folder":              {global: "[includeIf \"gitdir:DIR/\"]\n\tpath = inc\n", want: "Inc"},
		"gitdir, another folder":        {global: me("Plain") + "[includeIf \"gitdir:DIR/other/\"]\n\tpath = inc\n", want: "Plain"},
		"gitdir, a name":                {global: "[includeIf \"gitdir:hall/\"]\n\tpath = inc\n", want: "Inc"},
		"gitdir, a part of a name":      {global: me("Plain") + "[includeIf \"gitdir:hal/\"]\n\tpath = inc\n", want: "Plain"},
		"gitdir, stars":                 {global: "[includeIf \"gitdir:**/ha*/.git\"]\n\tpath = inc\n", want: "Inc"},
		"gitdir, another case":          {global: me("Plain") + "[includeIf \"gitdir:HALL/\"]\n\tpath = inc\n", want: "Plain"},
		"gitdir/i":                      {global: "[includeIf \"gitdir/i:HALL/\"]\n\tpath = inc\n", want: "Inc"},
		"gitdir from here":              {global: "[include]\n\tpath = DIR/here\n", want: "Own"},
		"onbranch":                      {global: "[includeIf \"onbranch:main\"]\n\tpath = inc\n", want: "Inc"},
		"onbranch, a beginning":         {global: me("Plain") + "[includeIf \"onbranch:ma/\"]\n\tpath = inc\n", want: "Plain"},
		"onbranch, a star":              {global: "[includeIf \"onbranch:m*\"]\n\tpath = inc\n", want: "Inc"},
		"hasconfig":                     {global: "[includeIf \"hasconfig:remote.*.url:https://hall.example/**\"]\n\tpath = inc\n", own: "[remote \"origin\"]\n\turl = https://hall.example/a/b.git\n", want: "Inc"},
		"hasconfig, another":            {global: me("Plain") + "[includeIf \"hasconfig:remote.*.url:https://hall.example/**\"]\n\tpath = inc\n", own: "[remote \"origin\"]\n\turl = https://inn.example/b.git\n", want: "Plain"},
		"a condition that nobody knows": {global: me("Plain") + "[includeIf \"weather:rain\"]\n\tpath = inc\n", want: "Plain"},
		"quotes and comments":           {global: "[user] ; who\n\tname = \"Quoted # one\" # two\n\temail = q@x\n", want: "Quoted # one"},
		"letter case":                   {global: "[USER]\n\tNAME = Loud\n\tEmail = l@x\n", want: "Loud"},
	} {
		t.Run(name, func(t *testing.T) {
			needGit(t)
			dir := filepath.Join(t.TempDir(), "hall")
			write(t, dir, supper, "one\n")
			r, err := Init(dir, noon, 0)
			if err != nil {
				t.Fatal(err)
			}
			home := os.Getenv("HOME")
			write(t, home, ".gitconfig", strings.ReplaceAll(c.global, "DIR", r.dir))
			write(t, home, "inc", me("Inc"))
			write(t, home, "outer", "[include]\n\tpath = inc\n")
			write(t, dir, "own", me("Own"))
			write(t, dir, "here", "[includeIf \"gitdir:./\"]\n\tpath = own\n")
			own, err := os.OpenFile(filepath.Join(dir, ".git/config"), os.O_APPEND|os.O_WRONLY, 0)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := own.WriteString(c.own); err != nil {
				t.Fatal(err)
			}
			if err := own.Close(); err != nil {
				t.Fatal(err)
			}
			set, err := r.settings()
			if err != nil {
				t.Fatal(err)
			}
			who, mail := identity(set)
			if who != c.want {
				t.Errorf("got %q, want %q", who, c.want)
			}
			if name == "an include of itself" {
				return
			}
			got := strings.Fields(gitSays(t, dir, "var", "GIT_AUTHOR_IDENT"))
			if said := strings.Join(got[:len(got)-2], " "); said != who+" <"+mail+">" {
				t.Errorf("got %s <%s>, git says %s", who, mail, said)
			}
		})
	}
}
