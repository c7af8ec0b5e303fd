package typed

import (
	"fmt"
	"reflect"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// Cook is a cook to begin, as typed. "", 0 or nil means not typed.
type Cook struct {
	Title, Pit            string
	Serve                 string
	Heads                 int
	AimPit, AimCore, Wrap string
	Wood                  string   // one kind and its weight
	Pieces                []string // for each: name, weight, trimmed weight, thickness, core
}

// Empty reports whether nothing was typed.
func (t *Cook) Empty() bool { return reflect.ValueOf(*t).IsZero() }

// Read parses the cook of a cut. It fails with Wrong.
func (t *Cook) Read(cut string, sys measure.System, now time.Time) (c journal.Cook, err error) {
	c = journal.Cook{Cut: cut, Title: t.Title, Pit: t.Pit, Heads: t.Heads}
	if t.Heads < 0 {
		return c, Wrong{Field: fmt.Sprintf("heads %d", t.Heads), Text: "expected 1 or more"}
	}
	if t.Wood != "" {
		c.Wood = []journal.Wood{Wood(t.Wood, sys)}
	}
	if err = ReadAll(
		Field{"serve", t.Serve, func(s string) (err error) { c.Serve, err = When(s, now); return err }},
		Field{"aim-pit", t.AimPit, func(s string) error { return measure.Read(&c.Aim.Pit, s, sys) }},
		Field{"aim-core", t.AimCore, func(s string) error { return measure.Read(&c.Aim.Core, s, sys) }},
		Field{"wrap", t.Wrap, func(s string) (err error) { c.Aim.Wrap, err = journal.ParseWrapPlan(s, sys); return err }},
	); err != nil {
		return c, err
	}
	if c.Pieces, err = Pieces(t.Pieces, sys); err != nil {
		return c, Wrong{Field: "piece", Text: err.Error()}
	}
	return c, nil
}
