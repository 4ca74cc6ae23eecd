package channel

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"

	"ovenward/inventory/measure"
)

// File adds each message to the end of a file, as one line of JSON. A message
// that is there already is not added again.
type File struct{ Path string }

// tail is how much of the end of a file is read to find the last lines.
const tail = 1 << 20

// Send implements Sender. The line is on the disk when it returns nil.
func (f File) Send(_ context.Context, m Message, _ measure.Instant) (err error) {
	file, err := os.OpenFile(f.Path, os.O_RDWR|os.O_CREATE, 0o640)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	lines, end, err := lastLines(file)
	if err != nil {
		return fmt.Errorf("%s: %w", f.Path, err)
	}
	if told(lines, m.Key) {
		return nil
	}
	line, err := encode(m)
	if err != nil {
		return err
	}
	// What a program that was killed wrote of a line is written over.
	if err := file.Truncate(end); err != nil {
		return err
	}
	if _, err := file.WriteAt(line, end); err != nil {
		return err
	}
	return file.Sync()
}

// told reports whether a message of a key is among lines. Alarms and lists are
// told by turns, so it need not be the last one. Within a text the quotes of a key
// would have a backslash before them.
func told(lines []byte, key string) bool {
	quoted, err := encode(key)
	return err == nil && bytes.Contains(lines, slices.Concat([]byte(`"key":`), bytes.TrimSpace(quoted), []byte(",")))
}

// lastLines returns the last whole lines of a file and where the next one begins.
func lastLines(f *os.File) (lines []byte, end int64, err error) {
	size, err := f.Seek(0, io.SeekEnd)
	if err != nil {
		return nil, 0, err
	}
	from := max(size-tail, 0)
	b := make([]byte, size-from)
	if _, err := f.ReadAt(b, from); err != nil && !errors.Is(err, io.EOF) {
		return nil, 0, err
	}
	whole := bytes.LastIndexByte(b, '\n') + 1
	if whole == 0 && from > 0 {
		return nil, 0, errors.New("its last line is longer than any message: is it the right file?")
	}
	return b[:whole], from + int64(whole), nil
}
