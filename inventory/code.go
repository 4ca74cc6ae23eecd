package inventory

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// Short codes are what a person reads off a label: a letter for the kind, a
// running number and a check character, "B1042-K". The check character is that
// of ISO/IEC 7064, MOD 37,36, computed over the letter and the number; it
// catches every single wrong character and every swap of two neighbours.

const alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"

var shortCode = regexp.MustCompile(`^([BSP])-?([0-9]{4,})-?([0-9A-Z])$`)

// ShortCode returns the code of the n-th bundle ('B'), slip ('S') or proposal
// ('P').
func ShortCode(kind byte, n int64) string {
	stem := fmt.Sprintf("%c%04d", kind, n)
	return stem + "-" + string(CheckCharacter(stem))
}

// CheckCharacter returns the ISO/IEC 7064 MOD 37,36 check character of a text
// of digits and upper-case letters. Other characters count as nothing.
func CheckCharacter(s string) byte {
	const m = len(alphabet)
	p := m
	for i := range len(s) {
		v := strings.IndexByte(alphabet, s[i])
		if v < 0 {
			continue
		}
		p = (p + v) % m
		if p == 0 {
			p = m
		}
		p = p * 2 % (m + 1)
	}
	return alphabet[(m+1-p)%m]
}

// ParseCode returns a code as it is kept: short codes in upper case with their
// hyphen, names that a site gave itself as they are. A short code whose check
// character is wrong is refused.
func ParseCode(s string) (string, error) {
	text := strings.TrimSpace(s)
	m := shortCode.FindStringSubmatch(strings.ToUpper(text))
	if m == nil {
		return text, nil
	}
	stem := m[1] + m[2]
	if want := CheckCharacter(stem); m[3][0] != want {
		return "", &Refusal{Code: Unknown, Subject: s, Value: s,
			Why:  "the last character does not fit the number: misread or mistyped",
			Next: "scan the label again or type it from the label"}
	}
	return stem + "-" + m[3], nil
}

// CodeNumber returns the kind and running number of a short code; false for a
// name that a site gave itself.
func CodeNumber(code string) (kind byte, n int64, ok bool) {
	m := shortCode.FindStringSubmatch(code)
	if m == nil {
		return 0, 0, false
	}
	n, err := strconv.ParseInt(m[2], 10, 64)
	return m[1][0], n, err == nil
}
