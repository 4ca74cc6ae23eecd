package measure_test

import (
	"testing"

	"ovenward/inventory/measure"
)

// Numbers are shown with millimetres; every quantity reads them the same way.
func TestNumbersAreReadAsPeopleWriteThem(t *testing.T) {
	t.Parallel()
	const mm = measure.Millimetre
	checkReadings(t, measure.ParseLength, []reading[measure.Length]{
		{"3 mm", 3 * mm}, {"3.2 mm", 3_200_000}, {"3,2 mm", 3_200_000}, {"3.20mm", 3_200_000},
		{".5 mm", 500_000}, {"0,5 mm", 500_000}, {"5. mm", 5 * mm}, {"007 mm", 7 * mm},
		{"-3.2 mm", -3_200_000}, {"+3.2 mm", 3_200_000}, {"\u22123.2\u00a0mm", -3_200_000},
		{"1/8 mm", 125_000}, {"1 1/2 mm", 1_500_000}, {"1-1/2 mm", 1_500_000}, {"1  1/2 mm", 1_500_000},
		{"-1 1/2 mm", -1_500_000}, {"- 1/2 mm", -500_000}, {"½ mm", 500_000}, {"2½ mm", 2_500_000},
		{"1 ¾ mm", 1_750_000}, {"1\u20442 mm", 500_000}, {"3/2 mm", 1_500_000},
		{"0,125 mm", 125_000}, {"3.175 mm", 3_175_000}, {"1234,567 mm", 1_234_567_000},
	})
}

func TestTextThatIsNoNumberIsRefused(t *testing.T) {
	t.Parallel()
	cases := faults{"": "no number", "mm": "no number", " mm ": "no number"}
	for _, number := range []string{
		"-", "1..2", "1.2.3", "1,2,3", "1/0", "1/2/3", "/2", "1/", "1.5/2", "1/2.5", "1 2", "1 2 3", "1 1.5",
		"1.5 1/2", "1/2 1/2", "1--1/2", "1 - 1/2", "1 3/2", "--5", "+-5", "-+5", "5-", "5-3", ".", ",",
		"0000000000000000000000000000000000000001.5",
	} {
		cases[number+" mm"] = "not a number"
	}
	for _, text := range []string{"1e3 mm", "0x10 mm", "1_000 mm", "∞ mm", "NaN mm", "١ mm"} {
		cases[text] = "" // the letters end the number
	}
	checkFaults(t, "length", measure.ParseLength, cases)
}

// A fraction's parts were read as octal when they began with a zero.
func TestLeadingZeroIsNotOctal(t *testing.T) {
	t.Parallel()
	checkReadings(t, measure.ParseLength, []reading[measure.Length]{
		{"010/1 mm", 10 * measure.Millimetre}, {"1/010 mm", 100_000}, {"09/10 mm", 900_000},
	})
}

// "1,000 lb" was read as one pound.
func TestCommaBeforeThreeDigitsIsNotGuessed(t *testing.T) {
	t.Parallel()
	checkFaults(t, "mass", measure.ParseMass, faults{
		"1,000 lb":  "1,000 may mean 1000 or 1.000",
		"12,500 kg": "12,500 may mean 12500 or 12.500",
		"-3,175 kg": "3,175 may mean 3175 or 3.175",
	})
	checkReadings(t, measure.ParseMass, []reading[measure.Mass]{
		{"1,0 kg", measure.Kilogram}, {"0,500 kg", 500 * measure.Gram}, {"1,0000 kg", measure.Kilogram},
	})
}

// "Never without a unit at the edge": a number alone could be in either system.
func TestBareNumberIsRefused(t *testing.T) {
	t.Parallel()
	for _, number := range []string{"120", "3.2", "1/8", "1 1/2", "0", "-5"} {
		_, err := measure.ParseLength(number)
		refused(t, err, "length", number, "no unit")
		_, err = measure.ParseMass(number)
		refused(t, err, "mass", number, "no unit")
		_, err = measure.ParseTemperature(number)
		refused(t, err, "temperature", number, "no unit")
		_, err = measure.ParseTemperatureDifference(number)
		refused(t, err, "temperature difference", number, "no unit")
		_, err = measure.ParseDuration(number)
		refused(t, err, "duration", number, "no unit")
	}
}

func TestUnitErrorSaysHowToWriteIt(t *testing.T) {
	t.Parallel()
	_, err := measure.ParseTemperature("250")
	want := `temperature "250": no unit; write a number with C or F, such as 120 C or 250 F`
	if err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
}
