package channel

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"

	"ovenward/inventory/measure"
)

// File adds each message to the end of a file, as one line of JSON. A message
// that is there already is not added again.
type File struct{ Path string }

// tail is how much of the end of a file is read to find the last line.
const tail = 1 << 20

// Send implements Sender. The line is on the disk when it returns nil.
func (f File) Send(_ context.Context, m Message, _ measure.Instant) (err error) {
	file, err := os.OpenFile(f.Path, os.O_RDWR|os.O_CREATE, 0o640)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	last, end, err := lastLine(file)
	if err != nil {
		return fmt.Errorf("%s: %w", f.Path, err)
	}
	var before Message
	if json.Unmarshal(last, &before) == nil && before.Key == m.Key {
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

// lastLine returns the last whole line of a file and where the next one begins.
func lastLine(f *os.File) (line []byte, end int64, err error) {
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
	begin := bytes.LastIndexByte(b[:max(whole-1, 0)], '\n') + 1
	return b[begin:whole], from + int64(whole), nil
}
