package typed

import "fmt"

// Mistake is an error in a request, not in the journal or the machine. Its text says
// what is wrong. The caller adds what to type instead, since it knows how the request
// was typed.
type Mistake struct {
	Kind  Kind
	Text  string
	About string   // the value at fault, such as the words that name a cook
	Cooks []string // IDs of cooks that may be meant
	Names []string // names of pits or mixes that may be meant
}

func (m Mistake) Error() string { return m.Text }

// Kind distinguishes mistakes to which callers respond differently.
type Kind uint8

// The kinds of mistakes.
const (
	Invalid        Kind = iota // a value that is not possible
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
	NoSuchName                 // there is no such name; one of Names may be meant
	NoSuchTask                 // the cook About has no such task
	NoSuchPit                  // About is not one of Names
	NoAim                      // no usual core is known for the cut About
	NoMealSet                  // the cook About has no serving hour
	NoRemote                   // no remote is remembered, and none was named
	NoSuchFlag                 // About is no flag of the command
	Kinds                      // number of kinds above
)

// Mistaken returns a Mistake with a formatted text.
func Mistaken(kind Kind, about, format string, args ...any) Mistake {
	return Mistake{Kind: kind, About: about, Text: fmt.Sprintf(format, args...)}
}
