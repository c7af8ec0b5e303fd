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

// The texts of all cooks are stored in one file next to the index, so that a search
// need not open thousands of files. Each has the hash of the cook's file, which the
// index compares with the file. This file may be deleted at any time.

// textsFormat is changed when the stored data changes.
const textsFormat = "ashbook texts 1\n"

// keepTexts is how many texts a search may have to read from files before it stores all
// anew (chosen: opening so many files takes a few milliseconds).
const keepTexts = 64

// textsPath returns the path of this journal's stored texts; "" for none.
func (f *Folder) textsPath() string {
	return strings.Replace(f.indexPath(), "index-", "texts-", 1)
}

// A text is stored after its hash, its length and the CRC-32 of all three.
const (
	sumSize  = 16
	textHead = sumSize + 4 + 4
)

// readTexts calls do for each stored text, up to the first that is damaged. Both slices
// are valid only during the call.
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
	var long []byte // buffer for a text larger than the reader's own
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

// checksum returns the CRC-32 of a text as stored.
func checksum(stored []byte) uint32 {
	return crc32.Update(crc32.ChecksumIEEE(stored[:sumSize+4]), crc32.IEEETable, stored[textHead:])
}

// texts is a file of texts being written. The nil texts ignores calls.
type texts struct {
	mu   sync.Mutex
	file *os.File
	out  *bufio.Writer
	buf  []byte
}

// newTexts begins a file in a folder; it returns nil if it cannot.
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

// add stores the text of a file if it has the hash sum.
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

// replace renames the file to name; if it cannot, the old one stays.
func (t *texts) replace(name string) {
	if t == nil {
		return
	}
	err := t.out.Flush()
	if closed := t.file.Close(); err != nil || closed != nil || os.Rename(t.file.Name(), name) != nil {
		os.Remove(t.file.Name())
	}
}

// drop deletes the file.
func (t *texts) drop() {
	if t != nil {
		t.file.Close()
		os.Remove(t.file.Name())
	}
}
