// Package jsonout is the shapes of --json and their writing: lists are arrays
// under a named key, never null; what is not recorded is left out; quantities
// are in the unit in which their key ends, times are RFC 3339.
package jsonout

import (
	"encoding/json"
	"fmt"
	"io"
	"unicode/utf16"
	"unicode/utf8"

	"ashbook/report/page"
)

// Write writes a shape, indented, with a newline after it.
func Write(w io.Writer, shape any) error {
	data, err := json.MarshalIndent(shape, "", "  ")
	if err != nil {
		return err
	}
	_, err = w.Write(append(escaped(data), '\n'))
	return err
}

// escaped writes what a terminal would act on as JSON escapes: such characters
// are only inside strings.
func escaped(data []byte) []byte {
	out := make([]byte, 0, len(data))
	for i := 0; i < len(data); {
		r, n := utf8.DecodeRune(data[i:])
		if r >= 0x7f && page.Unsafe(r) {
			for _, u := range utf16.AppendRune(nil, r) {
				out = fmt.Appendf(out, `\u%04x`, u)
			}
		} else {
			out = append(out, data[i:i+n]...)
		}
		i += n
	}
	return out
}
