package typed

import "strconv"

// Wrong is an error in one typed field, such as the flag of that name.
type Wrong struct {
	Field string
	Text  string // what is wrong: `time "noon": expected one such as 13:00`
	Value string // what was typed, if Text does not include it
	Such  string // a correct value for the field; "" if Text is enough
}

func (w Wrong) Error() string {
	if w.Value != "" {
		return w.Field + " " + strconv.Quote(w.Value) + ": " + w.Text
	}
	return w.Field + ": " + w.Text
}

// Field is one field of a form: its name, the typed text, and how to parse it.
type Field struct {
	Name, Text string
	Read       func(string) error
}

// In returns a Field.
func In(name, text string, read func(string) error) Field { return Field{name, text, read} }

// ReadAll parses the fields in which something was typed. It fails with Wrong.
func ReadAll(fields ...Field) error {
	for _, f := range fields {
		if f.Text == "" {
			continue
		}
		if err := f.Read(f.Text); err != nil {
			return Wrong{Field: f.Name, Text: err.Error()}
		}
	}
	return nil
}
