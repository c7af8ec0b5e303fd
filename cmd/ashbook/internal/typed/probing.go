package typed

import (
	"time"

	"ashbook/journal/measure"
	"ashbook/journal/probefile"
)

// Probe is how to read the readings of a probe, as typed.
type Probe struct {
	Time, Pit string   // columns; "" to guess
	Cores     []string // columns, such as large=3
	Unit      string   // c or f; "" to go by the columns
	From      string   // time from which times are counted
	Follow    bool     // read the file as it grows
	Look      bool     // save nothing
	Listen    string   // an address; "" to read a file
	Anywhere  bool     // other machines may post too
}

// Check looks for fields that exclude each other. It fails with Invalid.
func (p *Probe) Check() error {
	switch {
	case p.Listen != "" && (p.Time != "" || p.Pit != "" || len(p.Cores) > 0 || p.Unit != "" || p.From != "" || p.Follow || p.Look):
		return Mistaken(Invalid, "", "--listen takes no flag about a table: the keys of each reading name its columns")
	case p.Listen == "" && p.Anywhere:
		return Mistaken(Invalid, "", "--anywhere goes with --listen")
	case p.Follow && p.Look:
		return Mistaken(Invalid, "", "--look and --follow do not go together")
	}
	return nil
}

// Table parses how the columns of a table are named. last is the time of the cook's
// last entry; a From without a day is on that day. It fails with Wrong.
func (p *Probe) Table(pieces []string, sys measure.System, now, last time.Time) (probefile.Options, error) {
	o := probefile.Options{Time: p.Time, Pit: p.Pit, Cores: Cores(p.Cores), Units: sys, Zone: now.Location(), Pieces: pieces}
	return o, ReadAll(
		In("unit", p.Unit, func(t string) (err error) { o.Unit, err = probefile.ParseUnit(t); return err }),
		In("from", p.From, func(t string) (err error) { o.From, err = Begun(t, now, last); return err }),
	)
}
