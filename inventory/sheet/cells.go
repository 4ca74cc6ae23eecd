package sheet

import (
	"bytes"
	"unicode/utf8"
)

// splitter parts rows into cells. What it returns is good until the next row.
type splitter struct {
	comma   byte
	cells   [][]byte
	scratch []byte // cells that had doubled quotation marks
}

// split returns the cells of a row, or why it has none.
func (s *splitter) split(row []byte) (cells [][]byte, why string) {
	s.cells, s.scratch = s.cells[:0], s.scratch[:0]
	for {
		if len(row) > 0 && row[0] == '"' {
			cell, rest, ok := s.quoted(row[1:])
			switch {
			case !ok:
				return nil, "a quotation mark is not closed"
			case len(rest) > 0 && rest[0] != s.comma:
				return nil, "text behind a closing quotation mark"
			}
			s.cells = append(s.cells, cell)
			if len(rest) == 0 {
				return s.cells, ""
			}
			row = rest[1:]
			continue
		}
		i := bytes.IndexByte(row, s.comma)
		if i < 0 {
			s.cells = append(s.cells, row)
			return s.cells, ""
		}
		s.cells, row = append(s.cells, row[:i]), row[i+1:]
	}
}

// quoted returns a cell without its marks and what follows the closing one.
func (s *splitter) quoted(text []byte) (cell, rest []byte, ok bool) {
	start, doubled := len(s.scratch), false
	for {
		i := bytes.IndexByte(text, '"')
		if i < 0 {
			return nil, nil, false
		}
		cell, rest = text[:i], text[i+1:]
		if len(rest) == 0 || rest[0] != '"' {
			break
		}
		s.scratch, doubled = append(s.scratch, text[:i+1]...), true
		text = rest[1:]
	}
	if !doubled {
		return cell, rest, true
	}
	s.scratch = append(s.scratch, cell...)
	return s.scratch[start:], rest, true
}

// sniff finds out what parts the cells of a line: what stands in it most often
// outside quotation marks. Of equals a tab or a semicolon wins, because a comma
// may be a decimal mark.
func sniff(line []byte) byte {
	count, quoted := map[byte]int{}, false
	for _, b := range line {
		if b == '"' {
			quoted = !quoted
		}
		if !quoted {
			count[b]++
		}
	}
	best := byte('\t')
	for _, c := range []byte{';', ','} {
		if count[c] > count[best] {
			best = c
		}
	}
	if count[best] == 0 {
		return ','
	}
	return best
}

// Blank reports whether all cells are empty, as in the lines that a
// spreadsheet writes below its last row.
func Blank(cells [][]byte) bool {
	for _, c := range cells {
		if len(Trim(c)) > 0 {
			return false
		}
	}
	return true
}

// Trim returns a cell without the space around it.
func Trim(b []byte) []byte {
	if len(b) > 0 && b[0] > ' ' && b[len(b)-1] > ' ' && b[len(b)-1] < utf8.RuneSelf {
		return b
	}
	return bytes.TrimSpace(b)
}

// Text returns a cell as text. What is not UTF-8 is read as Latin-1, in
// which many loggers write the degree sign.
func Text(b []byte) string {
	if utf8.Valid(b) {
		return string(b)
	}
	runes := make([]rune, len(b))
	for i, c := range b {
		runes[i] = rune(c)
	}
	return string(runes)
}

// Clip returns the start of a cell as text, short enough for a line of a
// message.
func Clip(cell []byte) string {
	const longest = 60
	s := Text(cell)
	if len(s) <= longest {
		return s
	}
	cut := longest
	for !utf8.RuneStart(s[cut]) {
		cut--
	}
	return s[:cut] + "..."
}
