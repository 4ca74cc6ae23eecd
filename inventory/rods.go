package inventory

import "fmt"

// Rods is a number of rods in words: "1 rod", "40 rods".
func Rods(n int64) string {
	if n == 1 {
		return "1 rod"
	}
	return fmt.Sprintf("%d rods", n)
}
