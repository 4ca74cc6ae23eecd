package measure_test

import (
	"encoding/json"
	"testing"

	"ovenward/inventory/measure"
)

// A settings file is decoded by the same interface as JSON.
func TestSettingsHoldQuantitiesAsPeopleWriteThem(t *testing.T) {
	t.Parallel()
	var got struct {
		Limit measure.Duration
		Size  measure.Length
		Pack  measure.Mass
	}
	if err := json.Unmarshal([]byte(`{"Limit":"4h","Size":"1/8 in","Pack":"10 lb"}`), &got); err != nil {
		t.Fatal(err)
	}
	if got.Limit != 4*measure.Hour || got.Size != measure.Inch/8 || got.Pack != 10*measure.Pound {
		t.Errorf("read %+v", got)
	}
	for _, text := range []string{`{"Limit":"4"}`, `{"Size":"3.2"}`, `{"Pack":"10"}`} {
		if err := json.Unmarshal([]byte(text), &got); err == nil {
			t.Errorf("%s was taken without a unit", text)
		}
	}
}
