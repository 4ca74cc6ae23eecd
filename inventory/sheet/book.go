package sheet

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"

	"github.com/xuri/excelize/v2"
)

// The limits of a workbook. MostBook is that of the file. A hundred thousand rows of twenty cells are within
// them.
const (
	MostBook     = 32 << 20  // bytes of the file
	mostUnzipped = 160 << 20 // bytes of its parts
	mostParts    = 1000
	mostRows     = 100_000
	mostColumns  = 256
)

// BookError reports a file that begins like a workbook and cannot be read as one.
// It wraps ErrEncoding.
type BookError struct{ Err error }

// Error says what to do.
func (e *BookError) Error() string {
	return "not a workbook that can be read; save it again as .xlsx, or as CSV (" + e.Err.Error() + ")"
}

// Unwrap returns the cause, and ErrEncoding.
func (e *BookError) Unwrap() []error { return []error{e.Err, ErrEncoding} }

// TooLargeError is a workbook beyond a limit.
type TooLargeError struct {
	What  string // rows, columns, bytes
	Limit int64
	Next  string
}

// Error names the limit and what to do.
func (e *TooLargeError) Error() string {
	return fmt.Sprintf("the workbook has more than %d %s; %s", e.Limit, e.What, e.Next)
}

const asCSV = "split it, or save the sheet as CSV"

// book hands out the rows of the first sheet of a workbook that is not hidden.
type book struct {
	file       *excelize.File
	raw, shown *excelize.Rows // the same rows: what is stored, and what a person sees
	since1904  bool
	row        int64 // handed out last, counted from 1
	wide       int   // cells of the widest row so far
	cells      [][]byte
	sheet      string
}

// zipMark and oldMark tell a workbook by its first four bytes.
var (
	zipMark = []byte("PK\x03\x04")
	oldMark = []byte("\xd0\xcf\x11\xe0") // an .xls file, or an .xlsx file with a password
)

// Begins reports whether a file that begins so is taken for a workbook.
func Begins(head []byte) bool { return bytes.HasPrefix(head, zipMark) }

// openBook opens a workbook. Its size is looked at before anything is unpacked.
func openBook(r io.Reader) (b *book, err error) {
	data, err := io.ReadAll(io.LimitReader(r, MostBook+1))
	if err != nil {
		return nil, err
	}
	if len(data) > MostBook {
		return nil, &TooLargeError{"bytes", MostBook, asCSV}
	}
	if err := checkParts(data); err != nil {
		return nil, err
	}
	defer caught(&err)
	b = &book{}
	b.file, err = excelize.OpenReader(bytes.NewReader(data), excelize.Options{UnzipSizeLimit: mostUnzipped, UnzipXMLSizeLimit: mostUnzipped})
	if err != nil {
		return nil, broken(err)
	}
	if p, err := b.file.GetWorkbookProps(); err == nil && p.Date1904 != nil {
		b.since1904 = *p.Date1904
	}
	for _, name := range b.file.GetSheetList() {
		if seen, err := b.file.GetSheetVisible(name); err == nil && seen {
			b.sheet = name
			break
		}
	}
	if b.raw, err = b.file.Rows(b.sheet); err != nil {
		return nil, broken(err)
	}
	if b.shown, err = b.file.Rows(b.sheet); err != nil {
		return nil, broken(err)
	}
	return b, nil
}

// checkParts refuses a workbook whose parts would unpack to more than the limit:
// a small file may hold gigabytes.
func checkParts(data []byte) error {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return broken(err)
	}
	if len(z.File) > mostParts {
		return &TooLargeError{"parts", mostParts, asCSV}
	}
	size := uint64(0)
	for _, f := range z.File {
		if f.UncompressedSize64 > mostUnzipped {
			return &TooLargeError{"bytes unpacked", mostUnzipped, asCSV}
		}
		size += f.UncompressedSize64
	}
	if size > mostUnzipped {
		return &TooLargeError{"bytes unpacked", mostUnzipped, asCSV}
	}
	return nil
}

func broken(err error) error { return &BookError{err} }

// caught turns a panic of the reader, which no file should be able to cause, into
// an error.
func caught(err *error) {
	if p := recover(); p != nil {
		*err = broken(fmt.Errorf("%v", p))
	}
}

// next returns the cells of the next row, as many as any row before it has.
func (b *book) next() (cells [][]byte, err error) {
	defer caught(&err)
	for {
		if !b.raw.Next() || !b.shown.Next() {
			return nil, b.end()
		}
		if b.row++; b.row > mostRows {
			return nil, &TooLargeError{"rows", mostRows, asCSV}
		}
		if err := b.read(); err != nil {
			return nil, err
		}
		if len(b.cells) > mostColumns {
			return nil, &TooLargeError{"columns", mostColumns, "delete what stands beside the table"}
		}
		if b.wide == 0 && len(b.cells) == 0 {
			continue // above the heading
		}
		b.wide = max(b.wide, len(b.cells))
		for len(b.cells) < b.wide {
			b.cells = append(b.cells, nil)
		}
		return b.cells, nil
	}
}

// end returns why there is no further row.
func (b *book) end() error {
	for _, r := range []*excelize.Rows{b.raw, b.shown} {
		if err := r.Error(); err != nil {
			return broken(err)
		}
	}
	if b.wide == 0 {
		return ErrEmpty
	}
	return io.EOF
}

// read reads the cells of a row, without the empty ones at its end.
func (b *book) read() error {
	stored, err := b.raw.Columns(excelize.Options{RawCellValue: true})
	if err != nil {
		return broken(err)
	}
	seen, err := b.shown.Columns()
	if err != nil {
		return broken(err)
	}
	b.cells = b.cells[:0]
	filled := 0
	for i, s := range stored {
		shown := ""
		if i < len(seen) {
			shown = seen[i]
		}
		b.cells = append(b.cells, []byte(b.value(s, shown)))
		if s != "" {
			filled = i + 1
		}
	}
	b.cells = b.cells[:filled]
	return nil
}
