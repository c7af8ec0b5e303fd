package folder

import (
	"bufio"
	"encoding/binary"
	"hash/crc32"
	"io"
	"os"
	"strings"
	"sync"

	"ashbook/journal/history"
)

// The texts of all cooks are kept in one file beside the index, so that a search need not
// open thousands. Each has the sum of the cook's file, by which the index says whether the
// file still holds it. Like the index it may be deleted at any time.

// textsFormat is raised when what is stored changes.
const textsFormat = "ashbook texts 1\n"

// keepTexts is how many texts that are not kept a search reads before it keeps all anew.
// Chosen: opening so many files takes a few milliseconds.
const keepTexts = 64

// textsPath is where the texts of this journal are, "" for none.
func (f *Folder) textsPath() string {
	return strings.Replace(f.indexPath(), "index-", "texts-", 1)
}

// A text is stored behind its sum, its length and the CRC-32 of both and it.
const (
	sumSize  = 16
	textHead = sumSize + 4 + 4
)

// readTexts calls do for each text that is kept, up to one that is damaged. Both slices
// are valid for the call alone.
func readTexts(name string, do func(sum, text []byte)) {
	file, err := history.OpenRegular(name)
	if err != nil {
		return
	}
	defer file.Close()
	in := bufio.NewReaderSize(file, 256<<10)
	format := make([]byte, len(textsFormat))
	if _, err := io.ReadFull(in, format); err != nil || string(format) != textsFormat {
		return
	}
	var long []byte // of a text that the reader's own room is too small for
	for {
		head, err := in.Peek(textHead)
		if err != nil {
			return
		}
		n := textHead + int(binary.LittleEndian.Uint32(head[sumSize:]))
		if n > textHead+maxFile {
			return
		}
		all, err := in.Peek(n)
		if err == bufio.ErrBufferFull {
			if len(long) < n {
				long = make([]byte, n)
			}
			all = long[:n]
			_, err = io.ReadFull(in, all)
		} else if err == nil {
			in.Discard(n)
		}
		if err != nil || checksum(all) != binary.LittleEndian.Uint32(all[sumSize+4:]) {
			return
		}
		do(all[:sumSize], all[textHead:])
	}
}

// checksum is the CRC-32 of a text as it is stored.
func checksum(stored []byte) uint32 {
	return crc32.Update(crc32.ChecksumIEEE(stored[:sumSize+4]), crc32.IEEETable, stored[textHead:])
}

// texts is a file of texts being written. The nil texts takes none.
type texts struct {
	mu   sync.Mutex
	file *os.File
	out  *bufio.Writer
	buf  []byte
}

// newTexts begins a file in a folder; nil where it cannot.
func newTexts(dir string) *texts {
	if dir == "" || os.MkdirAll(dir, 0o777) != nil {
		return nil
	}
	file, err := os.CreateTemp(dir, "texts-new-")
	if err != nil {
		return nil
	}
	t := &texts{file: file, out: bufio.NewWriterSize(file, 256<<10)}
	t.out.WriteString(textsFormat)
	return t
}

// add puts in the text of a file, unless it is not the one the sum is of.
func (t *texts) add(sum string, text []byte) {
	if t == nil || sum == "" || sumOf(text) != sum {
		return
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	t.buf = append(t.buf[:0], sum...)
	t.buf = binary.LittleEndian.AppendUint32(t.buf, uint32(len(text)))
	t.buf = append(append(t.buf, 0, 0, 0, 0), text...)
	binary.LittleEndian.PutUint32(t.buf[sumSize+4:], checksum(t.buf))
	t.out.Write(t.buf)
}

// replace puts the file in place of that of a name; when it cannot, it leaves the old one.
func (t *texts) replace(name string) {
	if t == nil {
		return
	}
	err := t.out.Flush()
	if closed := t.file.Close(); err != nil || closed != nil || os.Rename(t.file.Name(), name) != nil {
		os.Remove(t.file.Name())
	}
}

// drop takes the file away.
func (t *texts) drop() {
	if t != nil {
		t.file.Close()
		os.Remove(t.file.Name())
	}
}
