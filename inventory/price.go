package inventory

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"ovenward/inventory/measure"
)

// Price is what one rod costs, or one kilogram of weighed stock.
type Price struct {
	Amount   int64  // in ten-thousandths of the currency's unit
	Currency string // as written, such as EUR
}

// PriceUnit is one of a currency's unit, in what Amount counts.
const PriceUnit = 10_000

var priceForm = regexp.MustCompile(`^([0-9]{1,9})(?:[.]([0-9]{1,4}))? *([A-Z]{3})$`)

// ParsePrice reads "0.42 EUR". The error is a *Refusal with code unit: a bare
// number has no currency.
func ParsePrice(text string) (Price, error) {
	m := priceForm.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil {
		return Price{}, &Refusal{Code: Unit, Subject: "price", Value: text, Why: quote(text) + " is not a price",
			Limit: "four decimals", Next: "write the price of one rod, or of one kilogram, with its currency, such as 0.42 EUR"}
	}
	whole, _ := strconv.ParseInt(m[1], 10, 64)
	part, _ := strconv.ParseInt((m[2] + "0000")[:4], 10, 64)
	return Price{Amount: whole*PriceUnit + part, Currency: m[3]}, nil
}

// Of returns what so many rods cost, or what a mass costs where it is given, in
// ten-thousandths of the currency's unit, rounded to the nearest.
func (p Price) Of(pieces int64, mass measure.Mass) int64 {
	if mass != 0 {
		return int64(math.Round(float64(p.Amount) * mass.Kilograms()))
	}
	return p.Amount * pieces
}

// MoneyText prints an amount in ten-thousandths of a currency's unit to two
// decimals: "56.10 EUR".
func MoneyText(amount int64, currency string) string {
	return fmt.Sprintf("%.2f %s", float64(amount)/PriceUnit, currency)
}
