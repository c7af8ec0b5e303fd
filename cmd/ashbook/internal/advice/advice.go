// Package advice says what to type next after an error. It prints nothing.
package advice

import (
	"errors"
	"path"
	"strings"

	"ashbook/cmd/ashbook/internal/lookup"
	"ashbook/cmd/ashbook/internal/machine"
	"ashbook/cmd/ashbook/internal/pages"
	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal"
	"ashbook/journal/carrier"
	"ashbook/journal/folder"
	"ashbook/journal/history"
	"ashbook/journal/ingest/paper"
	"ashbook/journal/probefile"
	"ashbook/journal/syncer"
	"ashbook/report/provision"
)

// advised is an error with words on what to type next.
type advised struct {
	error
	next string
}

func (a advised) Unwrap() error { return a.error }

// With returns err with words on what to type next. Next returns them in place of its
// own.
func With(err error, next string) error { return advised{err, next} }

// Next returns what to type after err; "" if the text of err is enough.
func Next(err error) string {
	var (
		given   advised
		mistake typed.Mistake
		unread  lookup.Unread
		refused provision.Refusal
		half    folder.Half
		stopped syncer.Stopped
		hub     history.NoHub
	)
	switch {
	case errors.As(err, &given):
		return given.next
	case errors.As(err, &mistake):
		return afterMistake(mistake)
	case errors.As(err, &unread):
		return Unread(unread)
	case errors.As(err, &refused):
		return refusal(refused)
	case errors.As(err, &half):
		return afterHalf(half)
	case errors.As(err, &stopped) && stopped.Next != "":
		return stopped.Next
	case errors.As(err, new(syncer.Unfit)):
		return "ask whoever sent it; git fetch and git log show it without adding it to the journal"
	case errors.As(err, &hub):
		return "name an empty folder beside it, such as " + hub.Dir + "/../journal.git"
	case errors.Is(err, carrier.ErrNoAddress):
		return "ashbook sync --help"
	case errors.As(err, new(pages.NotOurs)):
		return "--force to replace it, or -o FILE to write another"
	case errors.As(err, new(*paper.Error)):
		return "ashbook import --help"
	case errors.As(err, new(machine.NoEditor)):
		return "set $VISUAL or $EDITOR to an editor you have"
	case errors.Is(err, history.ErrNotUnderGit):
		return "ashbook init"
	case errors.Is(err, folder.ErrNotAJournal):
		return "ashbook init DIR, or ashbook try to look around"
	case errors.Is(err, history.ErrLocked):
		return "close the other ashbook, or wait and try again"
	}
	return ""
}

// afterMistake returns what to type after a mistake.
func afterMistake(m typed.Mistake) string {
	first := func(ids []string) string { return strings.Join(ids[:min(1, len(ids))], "") }
	switch m.Kind {
	case typed.NoSuchCook:
		return "ashbook find " + first(strings.Fields(m.About))
	case typed.SeveralCooks:
		return "name one of them by its day"
	case typed.NoneRunning:
		return "ashbook light CUT, or --cook COOK to note in another cook"
	case typed.SeveralRunning:
		return "ashbook note --cook " + first(m.Cooks) + " …"
	case typed.NonePlanned:
		return `ashbook workback --serve "sat 13:00" --heads 24 --save`
	case typed.SeveralPlanned:
		return "ashbook light " + first(m.Cooks)
	case typed.AlreadyLit:
		return "ashbook light CUT --title TITLE"
	case typed.BadLine:
		return "ashbook note --help"
	case typed.NoAim:
		return "ashbook light " + m.About + " --aim-core with its core; or name the tough cut it is, such as pork shoulder"
	case typed.NoMealSet:
		return "ashbook edit " + m.About + `, and write a line such as "serve: 2026-09-19T13:00+01:00"`
	case typed.NoSuchEntry:
		return "ashbook fix " + first(m.Cooks)
	case typed.NoSuchTask:
		return "ashbook ready " + m.About
	case typed.NoSuchName:
		if len(m.Names) > 0 {
			return "ashbook " + m.About + " " + strings.Join(m.Names, ", or ")
		}
	case typed.NoRemote:
		return "ashbook sync /media/stick/journal.git"
	case typed.NoSuchPit:
		return "--pit " + strings.Join(m.Names, " or --pit ")
	case typed.NoSuchFlag:
		return "put words after a separate --"
	}
	return ""
}

// Unread returns what to do about a cook's file that cannot be read.
func Unread(u lookup.Unread) string {
	return "wait a moment if a program is saving it; ashbook edit " + u.Cook + " to correct it"
}

// afterHalf returns what to do about a file that was saved only in part.
func afterHalf(h folder.Half) string {
	id, cook := strings.CutSuffix(path.Base(h.Problem.File), ".md")
	if !cook || !strings.HasPrefix(h.Problem.File, "cooks/") {
		return "wait a moment if a program is saving it; otherwise correct it"
	}
	return "wait a moment if a program is saving it; ashbook edit " + id + " to correct it, ashbook history " + id + " to bring a version back"
}

// refusal returns what to type after a plan was refused.
func refusal(r provision.Refusal) string {
	return map[provision.Part]string{
		provision.PartServe:   `--serve "sat 13:00", a meal in the future`,
		provision.PartHeads:   `--heads 24, or --heads "24, children 6, hearty 2, vegetarians 3"`,
		provision.PartPortion: `--portion "150 g", the cooked meat for one adult`,
		provision.PartEnough:  `--enough 80, or --enough 90`,
		provision.PartPiece:   `--piece "large 5.2 kg 13 cm"`,
		provision.PartAim:     `--aim-pit "115 °C", or a lower --aim-core`,
		provision.PartGrate:   `--pit NAME,NAME for pits side by side, or fewer heads`,
		provision.PartBoxes:   "--boxes 2, or leave it out for as many as it takes",
		provision.PartCut:     `--cut "pork shoulder", or --aim-core with the core of this cut`,
	}[r.Part]
}

// Fits returns what to type when a plan needs to know how many pieces a pit takes.
func Fits(ask *provision.Ask, pits []provision.Pit) string {
	flag, name := "--fits 4", pits[ask.Pit].Name
	if len(pits) > 1 {
		flag = "--fits " + name + "=4"
	}
	if name == "" {
		return flag + ", and --pit NAME so that it is remembered"
	}
	return flag + ", or " + ask.Line(name)
}

// Probe returns what to type when a table of readings cannot be understood; "" if the
// error is enough. c is the cook that the readings are for.
func Probe(err error, c *journal.Cook, file string) string {
	var columns probefile.ColumnsError
	switch {
	case errors.Is(err, probefile.ErrElapsed):
		at := c.Date()
		if on, ok := c.OnAt(); ok {
			at = on
		}
		return "--from " + journal.FormatTime(at) + " if the count began when the meat went on, otherwise the time it began"
	case errors.As(err, &columns):
		core := "COLUMN"
		if names := c.PieceNames(); len(names) > 1 {
			core = names[0] + "=COLUMN"
		}
		return "ashbook probe " + file + " --time COLUMN --pit COLUMN --core " + core
	}
	return ""
}
