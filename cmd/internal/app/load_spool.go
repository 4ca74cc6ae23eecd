package app

import (
	"bufio"
	"encoding/binary"
	"errors"
	"io"
	"os"

	"ovenward/inventory/measure"
)

// spool keeps the good rows of a file between its check and its load. The rows
// that were checked are the rows that are stored, also where the file comes from
// a pipe or a logger goes on writing it.
type spool struct {
	f *os.File
	w *bufio.Writer
	n int64 // rows
}

// spooled is a row: the index of its target, its line, the instant and the
// temperature.
type spooled struct {
	target int
	line   int64
	at     measure.Instant
	temp   measure.Temperature
}

// spooledBytes is the length of a row in the file: four numbers of 8 bytes.
const spooledBytes = 4 * 8

func newSpool() (*spool, error) {
	f, err := os.CreateTemp("", "ovenward-load-")
	if err != nil {
		return nil, err
	}
	return &spool{f: f, w: bufio.NewWriterSize(f, 1<<18)}, nil
}

func (s *spool) add(r spooled) error {
	b := s.w.AvailableBuffer()
	b = binary.LittleEndian.AppendUint64(b, uint64(r.target))
	b = binary.LittleEndian.AppendUint64(b, uint64(r.line))
	b = binary.LittleEndian.AppendUint64(b, uint64(r.at))
	b = binary.LittleEndian.AppendUint64(b, uint64(r.temp))
	s.n++
	_, err := s.w.Write(b)
	return err
}

// each hands out the rows in the order in which they were added.
func (s *spool) each(fn func(spooled) error) error {
	if err := s.w.Flush(); err != nil {
		return err
	}
	if _, err := s.f.Seek(0, io.SeekStart); err != nil {
		return err
	}
	in := bufio.NewReaderSize(s.f, 1<<18)
	var b [spooledBytes]byte
	for range s.n {
		if _, err := io.ReadFull(in, b[:]); err != nil {
			return err
		}
		err := fn(spooled{
			target: int(binary.LittleEndian.Uint64(b[0:])),
			line:   int64(binary.LittleEndian.Uint64(b[8:])),
			at:     measure.Instant(binary.LittleEndian.Uint64(b[16:])),
			temp:   measure.Temperature(binary.LittleEndian.Uint64(b[24:])),
		})
		if err != nil {
			return err
		}
	}
	return nil
}

func (s *spool) remove() error { return errors.Join(s.f.Close(), os.Remove(s.f.Name())) }
