package typed

import "fmt"

// Mistake is an error in a request, not in the journal or the machine. Its text says what
// is wrong. The caller adds what to type instead, because it knows how the request was
// typed.
type Mistake struct {
	Kind  Kind
	Text  string
	About string   // the value at fault: words that name a cook, or another argument
	Cooks []string // IDs that may have been meant
	Names []string // of pits or mixes that may have been meant
}

func (m Mistake) Error() string { return m.Text }

// Kind distinguishes mistakes that callers answer differently.
type Kind uint8

// The kinds of mistakes.
const (
	Invalid        Kind = iota // a value that cannot be
	NoSuchCook                 // About names no cook
	SeveralCooks               // About names Cooks
	NoneRunning                // no cook is running
	SeveralRunning             // Cooks are running
	NonePlanned                // no cook is planned
	SeveralPlanned             // About names the planned Cooks
	AlreadyLit                 // About is the title of a cook that was lit long ago
	BadLine                    // an entry line that cannot be read
	NoSuchEntry                // About is no entry of Cooks
	NothingUndone              // nothing was undone in the cook About since the last note
	NoSuchName                 // of the kind About; perhaps one of Names was meant
	NoSuchTask                 // no task of the cook About
	NoSuchPit                  // About is not one of Names
	NoAim                      // no usual core is known for the cut About
	NoMealSet                  // the cook About has no serving hour
	NoRemote                   // no remote is remembered, and none was named
	NoSuchFlag                 // About is no flag of the command
	Kinds                      // how many there are
)

// Mistaken is a Mistake.
func Mistaken(kind Kind, about, format string, args ...any) Mistake {
	return Mistake{Kind: kind, About: about, Text: fmt.Sprintf(format, args...)}
}
