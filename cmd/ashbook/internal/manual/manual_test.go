package manual

import (
	"strings"
	"testing"
	"time"

	"github.com/spf13/cobra"
)

// TestPage checks a page against groff_man(7): a text line that begins with a point or
// an apostrophe is a macro, a backslash begins an escape, and a minus that can be
// copied is \-.
func TestPage(t *testing.T) {
	root := &cobra.Command{Use: "pit"}
	sub := &cobra.Command{
		Use: "light CUT", Short: "Light it", Run: func(*cobra.Command, []string) {},
		Long:    "First.\n.so /etc/passwd\n'br\nA \\fBback\\fP slash.\n\nCodes:\n  0  fine\n130  stopped",
		Example: "  pit light --at 5",
	}
	sub.Flags().String("at", "", "the `TIME` of it")
	root.AddCommand(sub)
	const want = `.TH "PIT-LIGHT" 1 "2026-09-19" ashbook
.SH NAME
pit\-light \- Light it
.SH SYNOPSIS
.B pit light CUT [flags]
.SH DESCRIPTION
First.
\&.so /etc/passwd
\&'br
A \efBback\efP slash.
.PP
Codes:
.nf
  0  fine
130  stopped
.fi
.SH OPTIONS
.TP
\fB\-\-at\fR \fITIME\fR
the TIME of it
.TP
\fB\-h\fR, \fB\-\-help\fR
help for light
.SH EXAMPLES
.nf
  pit light \-\-at 5
.fi
.SH SEE ALSO
\fBpit\fR(1)
`
	if got := page(sub, time.Date(2026, 9, 19, 0, 0, 0, 0, time.UTC)); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, strings.TrimSpace(want))
	}
}
