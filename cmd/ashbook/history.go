package main

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/journal/cookfile"
	"ashbook/journal/folder"
	"ashbook/journal/history"
	"ashbook/report"
	"ashbook/report/page"
	"ashbook/report/page/text"

	"github.com/spf13/cobra"
)

const historyHelp = `List the versions of a cook's file: who changed what and when, the oldest being
number 1. --at N tells what that version changed, entry by entry, and what
bringing it back would change now; --bring N brings it back, as a new version:
nothing vanishes.`

func (a *program) historyCommand() *cobra.Command {
	at, bring := 0, 0
	cmd := &cobra.Command{
		Use:     "history COOK",
		Short:   "Who changed a cook, what and when; bring a version back",
		Long:    historyHelp,
		Example: "  ashbook history harvest\n  ashbook history harvest --at 12\n  ashbook history harvest --bring 12",
		Args:    atLeast(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			j, now, err := a.openNow()
			if err != nil {
				return err
			}
			s, err := j.Resolve(a.ctx, args)
			if err != nil {
				return err
			}
			found, err := versionsOf(j, s.ID, now.Location())
			if err != nil {
				return err
			}
			switch {
			case cmd.Flags().Changed("at") && cmd.Flags().Changed("bring"):
				return usage("--at and --bring do not go together")
			case cmd.Flags().Changed("bring"):
				return a.bring(j, s, found, bring)
			case cmd.Flags().Changed("at"):
				return a.oneVersion(j, s, found, at)
			}
			if a.json {
				return a.printJSON(historyOf(s.ID, found))
			}
			a.printf("%s", text.Render(report.Versions(s.Name(), found.told), a.width()))
			return nil
		},
	}
	cmd.Flags().IntVar(&at, "at", 0, "tell what version `N` changed")
	cmd.Flags().IntVar(&bring, "bring", 0, "bring version `N` back")
	return cmd
}

// versions is the versions of a cook, the newest first.
type versions struct {
	all  []history.Version
	told []report.Version // the same
}

// versionsTold is how many versions are listed: more than a cook of a long night
// has, written entry by entry (chosen).
const versionsTold = 1000

func versionsOf(j *app.App, id string, zone *time.Location) (versions, error) {
	all, err := j.Folder().Versions(id, versionsTold)
	if err != nil {
		return versions{}, err
	}
	p := versions{all: all}
	for i, v := range all {
		p.told = append(p.told, report.Version{
			N: len(all) - i, Of: len(all), When: v.When.In(zone), Who: v.Who, What: whatOf(id, v.Message), Gone: v.Removed,
		})
	}
	return p, nil
}

// whatOf is the line in history without the name of the cook, which is known.
func whatOf(id, message string) string {
	head, _, _ := strings.Cut(message, "\n")
	name, rest, named := strings.Cut(head, ": ")
	if named && (name == id || strings.HasSuffix(id, "-"+name)) {
		return rest
	}
	return head
}

// number finds a version by its number.
func (p versions) number(n int) (int, error) {
	if n < 1 || n > len(p.all) {
		return 0, usage("version %d: expected 1 to %d", n, len(p.all))
	}
	return len(p.all) - n, nil
}

// changes tells what version i changed, and what bringing it back would change.
func (p versions) changes(j *app.App, id string, i int) (changed, back []cookfile.Change, err error) {
	if p.all[i].Removed {
		return nil, nil, nil
	}
	is, err := j.Folder().Version(id, p.all[i].Hash)
	if err != nil {
		return nil, nil, err
	}
	was, now := []byte(nil), is
	if i+1 < len(p.all) {
		if was, err = j.Folder().Version(id, p.all[i+1].Hash); err != nil && !errors.Is(err, history.ErrNoVersion) {
			return nil, nil, err
		}
	}
	if i > 0 {
		if now, err = j.Folder().Version(id, p.all[0].Hash); err != nil && !errors.Is(err, history.ErrNoVersion) {
			return nil, nil, err
		}
	}
	if changed, err = j.Folder().Changes(id, was, is); err != nil {
		return nil, nil, err
	}
	back, err = j.Folder().Changes(id, now, is)
	return changed, back, err
}

func (a *program) oneVersion(j *app.App, s folder.Summary, p versions, n int) error {
	i, err := p.number(n)
	if err != nil {
		return hint(err, "ashbook history "+s.ID)
	}
	changed, back, err := p.changes(j, s.ID, i)
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(versionDetail{s.ID, versionOf(p.told[i]), changeRecords(changed), changeRecords(back)})
	}
	a.printf("%s", text.Render(report.OneVersion(s.Name(), p.told[i], changed, back), a.width()))
	return nil
}

func (a *program) bring(j *app.App, s folder.Summary, p versions, n int) error {
	i, err := p.number(n)
	if err != nil {
		return hint(err, "ashbook history "+s.ID)
	}
	if err := bringBack(j, s.ID, p.all[i].Hash, p.told[i].When); err != nil {
		return err
	}
	if a.json {
		return a.printJSON(struct {
			Cook    string        `json:"cook"`
			Brought versionRecord `json:"brought"`
		}{s.ID, versionOf(p.told[i])})
	}
	a.printf("brought back: version %d of %s, %s\n", n, p.told[i].When.Format("2 Jan 2006 15:04"), page.Clean(p.told[i].What))
	a.printf("next: ashbook history %s --bring %d, to undo it\n", s.ID, len(p.all))
	return nil
}

// bringBack puts a version in place of what the file holds, as a new version. A
// version that cannot be read as a cook is not brought back.
func bringBack(j *app.App, id, hash string, when time.Time) error {
	data, err := j.Folder().Version(id, hash)
	if err != nil {
		return err
	}
	if _, err := j.Folder().ParseCook(id, data); err != nil {
		return fmt.Errorf("that version cannot be read: %w", err)
	}
	same := func([]byte) ([]byte, error) { return data, nil }
	if err := j.Folder().EditBytes(id, same, id+": brought back as of "+when.Format("2 Jan 2006 15:04")); err != nil {
		return err
	}
	return j.Folder().Flush()
}

type versionRecord struct {
	N    int    `json:"n"`
	Time string `json:"time"`
	Who  string `json:"who"`
	What string `json:"what"`
	Gone bool   `json:"gone"`
}

type changeRecord struct {
	Was string `json:"was,omitempty"`
	Is  string `json:"is,omitempty"`
}

type historyRecord struct {
	Cook     string          `json:"cook"`
	Versions []versionRecord `json:"versions"`
}

type versionDetail struct {
	Cook    string         `json:"cook"`
	Version versionRecord  `json:"version"`
	Changed []changeRecord `json:"changed"`
	Back    []changeRecord `json:"back"`
}

func historyOf(id string, p versions) historyRecord {
	out := historyRecord{id, []versionRecord{}}
	for _, v := range p.told {
		out.Versions = append(out.Versions, versionOf(v))
	}
	return out
}

func versionOf(v report.Version) versionRecord {
	return versionRecord{v.N, timeRecord(v.When), v.Who, v.What, v.Gone}
}

func changeRecords(changes []cookfile.Change) []changeRecord {
	out := []changeRecord{}
	for _, c := range changes {
		out = append(out, changeRecord{c.Was, c.Is})
	}
	return out
}
