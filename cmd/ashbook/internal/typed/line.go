package typed

import "strings"

// LineArgs are the arguments of a command with an entry line, in which "-20" is a time
// and not a flag.
type LineArgs struct {
	Words []string // arguments that are no flags
	Help  bool     // help was asked for
	after string   // the first "--" and everything after it
}

// From returns the entry line that begins with word n.
func (l *LineArgs) From(n int) string {
	return strings.TrimSpace(strings.Join(l.Words[min(n, len(l.Words)):], " ") + l.after)
}

// Read parses args. It sets flags with a value in values and those without in switches;
// flags end at the first "--". It fails with Invalid if a value is missing, and with
// NoSuchFlag.
func (l *LineArgs) Read(args []string, values map[string]*string, switches map[string]*bool) error {
	for i := 0; i < len(args); i++ {
		flag, value, joined := strings.Cut(args[i], "=")
		dst, known := values[flag]
		set, isSwitch := switches[args[i]]
		switch {
		case args[i] == "--":
			l.after = " " + strings.Join(args[i:], " ")
			return nil
		case isSwitch:
			*set = true
		case known && joined:
			*dst = value
		case known && i+1 < len(args):
			i++
			*dst = args[i]
		case known:
			return Mistaken(Invalid, "", "%s needs a value", flag)
		case strings.HasPrefix(args[i], "--"):
			return Mistaken(NoSuchFlag, args[i], "there is no flag %q here", args[i])
		default:
			l.Words = append(l.Words, args[i])
		}
	}
	return nil
}
