package machine

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"time"
)

// Build returns a text that identifies this build by the size, time and first bytes of
// the program's own file, in which the linker puts a hash of its sources. So the cache
// of another build is not used. It returns "" if the file cannot be read.
func Build() string {
	const beginning = 16 << 10
	name, err := os.Executable()
	if err != nil {
		return ""
	}
	file, err := os.Open(name)
	if err != nil {
		return ""
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return ""
	}
	sum := sha256.New()
	fmt.Fprintln(sum, info.Size(), info.ModTime().UnixNano())
	if _, err := io.CopyN(sum, file, beginning); err != nil {
		return ""
	}
	return hex.EncodeToString(sum.Sum(nil))
}

// After calls f once, when d has passed, unless stop is called before.
func After(d time.Duration, f func()) (stop func()) {
	t := time.AfterFunc(d, f)
	return func() { t.Stop() }
}
