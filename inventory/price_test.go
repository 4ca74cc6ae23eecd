package inventory_test

import (
	"errors"
	"testing"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

func TestPriceIsOfARodOrAKilogram(t *testing.T) {
	t.Parallel()
	rod, err := inventory.ParsePrice("0.425 EUR")
	if err != nil {
		t.Fatal(err)
	}
	if got := inventory.MoneyText(rod.Of(132, 0), rod.Currency); got != "56.10 EUR" { // 132 x 0.425
		t.Errorf("132 rods cost %s, want 56.10 EUR", got)
	}
	wire, err := inventory.ParsePrice("3 CAD")
	if err != nil {
		t.Fatal(err)
	}
	if got := inventory.MoneyText(wire.Of(0, 2500*measure.Gram), wire.Currency); got != "7.50 CAD" { // 2.5 kg x 3
		t.Errorf("2.5 kg cost %s, want 7.50 CAD", got)
	}
}

func TestPriceWithoutACurrencyIsRefused(t *testing.T) {
	t.Parallel()
	for _, text := range []string{"", "0.42", "EUR", "-1 EUR", "0,42 EUR", "0.42345 EUR", "1e3 EUR", "0.42 €", "99999999999 EUR"} {
		_, err := inventory.ParsePrice(text)
		if ref, ok := errors.AsType[*inventory.Refusal](err); !ok || ref.Code != inventory.Unit {
			t.Errorf("ParsePrice(%q) = %v, want a refusal with code unit", text, err)
		}
	}
}

func FuzzParsePrice(f *testing.F) {
	for _, s := range []string{"0.42 EUR", "1 CAD", "x", ".5 USD", "999999999.9999 NOK"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		p, err := inventory.ParsePrice(s)
		if err == nil && (p.Amount < 0 || len(p.Currency) != 3) {
			t.Errorf("ParsePrice(%q) = %+v", s, p)
		}
	})
}
