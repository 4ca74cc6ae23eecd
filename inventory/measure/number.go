package measure

import (
	"fmt"
	"math/big"
	"strings"
)

const notNumber = "not a number"

// rational reads "3", "3.2", "3,2", "1/8", "1 1/2" and "1-1/2" exactly, with a
// sign or without. The second result says why the text is none of these; it is
// "" for one that is.
func rational(s string) (*big.Rat, string) {
	const longest = 40 // more digits than any gauge shows, few enough to stay quick
	switch {
	case s == "":
		return nil, "no number"
	case len(s) > longest:
		return nil, notNumber
	}
	digits := strings.TrimLeft(s, "+-")
	if len(s)-len(digits) > 1 {
		return nil, notNumber
	}
	read := decimal
	if strings.Contains(digits, "/") {
		read = fraction
	}
	r, why := read(strings.TrimLeft(digits, " "))
	if why == "" && s[0] == '-' {
		r.Neg(r)
	}
	return r, why
}

// decimal reads digits with at most one point or comma among them.
func decimal(s string) (*big.Rat, string) {
	whole, part := s, ""
	i := strings.IndexAny(s, ".,")
	if i >= 0 {
		whole, part = s[:i], s[i+1:]
	}
	if whole+part == "" || !allDigits(whole) || !allDigits(part) {
		return nil, notNumber
	}
	if i >= 0 && s[i] == ',' && mayBeThousands(whole, part) {
		return nil, fmt.Sprintf("%s may mean %s or %s, write it without a comma", s, whole+part, whole+"."+part)
	}
	ten := big.NewInt(10)
	return new(big.Rat).SetFrac(integer(whole+part), ten.Exp(ten, big.NewInt(int64(len(part))), nil)), ""
}

// mayBeThousands reports whether the digits around a comma can be read as 1.5
// thousand as well as 1.5.
func mayBeThousands(whole, part string) bool {
	return len(part) == 3 && len(whole) >= 1 && len(whole) <= 3 && whole[0] != '0'
}

// fraction reads "1/8", and "1 1/2" and "1-1/2" if less than one whole is added.
func fraction(s string) (*big.Rat, string) {
	top, below, _ := strings.Cut(s, "/")
	whole, num := "", top
	if i := strings.LastIndexAny(top, " -"); i >= 0 {
		whole, num = top[:i], top[i+1:]
		if top[i] == ' ' {
			whole = strings.TrimRight(whole, " ")
		}
		if whole == "" {
			return nil, notNumber
		}
	}
	if num == "" || below == "" || !allDigits(whole) || !allDigits(num) || !allDigits(below) {
		return nil, notNumber
	}
	n, d := integer(num), integer(below)
	if d.Sign() == 0 || (whole != "" && n.Cmp(d) >= 0) {
		return nil, notNumber
	}
	r := new(big.Rat).SetFrac(n, d)
	return r.Add(r, new(big.Rat).SetInt(integer(whole))), ""
}

func allDigits(s string) bool {
	return strings.IndexFunc(s, func(r rune) bool { return r < '0' || r > '9' }) < 0
}

// integer reads decimal digits, of which there may be none. It reads "010" as
// ten, where big.Rat takes the parts of a fraction as octal.
func integer(digits string) *big.Int {
	n := new(big.Int)
	n.SetString(digits, 10)
	return n
}

// scale multiplies a rational by a unit's size and rounds half away from zero
// to the whole number that the type counts.
func scale(r, unit *big.Rat) (int64, bool) {
	product := new(big.Rat).Mul(r, unit)
	twice := new(big.Int).Lsh(product.Num(), 1)
	den := product.Denom()
	if product.Sign() < 0 {
		twice.Sub(twice, den)
	} else {
		twice.Add(twice, den)
	}
	q := twice.Quo(twice, new(big.Int).Lsh(den, 1))
	return q.Int64(), q.IsInt64()
}
