package air_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"ovenward/inventory/measure"
	"ovenward/storage/air"
)

// of is air of so many tenths of a degree Celsius and per cent.
func of(tenths, percent int64) air.Air {
	return air.Air{Temp: measure.Temperature(tenths) * measure.Degree / 10, RH: measure.Humidity(percent) * measure.Percent}
}

// TestMoistureOfAirInThreeUnits: the values were worked out by hand from the
// Magnus form (coefficients of WMO-No. 8) at 1013.25 hPa, to the places shown.
func TestMoistureOfAirInThreeUnits(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		tenths, percent int64
		mmHg, perKg     string
		perLb           string
	}{
		{50, 40, "2.6", "2.1", "15"}, {100, 60, "5.5", "4.5", "32"}, {150, 50, "6.4", "5.3", "37"},
		{200, 50, "8.7", "7.2", "51"}, {250, 40, "9.5", "7.9", "55"}, {200, 70, "12.2", "10.2", "71"},
		{211, 70, "13.1", "10.9", "76"}, {200, 80, "14.0", "11.7", "82"}, {250, 60, "14.2", "11.9", "83"},
		{267, 80, "21.0", "17.6", "124"}, {270, 80, "21.3", "18.0", "126"}, {300, 70, "22.2", "18.7", "131"},
		{300, 80, "25.4", "21.5", "151"}, {300, 90, "28.6", "24.3", "170"}, {322, 90, "32.4", "27.7", "194"},
		{350, 80, "33.7", "28.8", "202"}, {350, 90, "37.9", "32.6", "228"},
	} {
		a := of(row.tenths, row.percent)
		got := []string{fmt.Sprintf("%.1f", a.VapourMMHg()), fmt.Sprintf("%.1f", a.Moisture()), fmt.Sprintf("%.0f", a.Grains())}
		want := []string{row.mmHg, row.perKg, row.perLb}
		for i, unit := range []string{"mmHg", "g/kg", "gr/lb"} {
			if got[i] != want[i] {
				t.Errorf("%s: %s %s, want %s", a, got[i], unit, want[i])
			}
		}
	}
}

// buck is the saturation pressure by Buck 1981 (J. Appl. Meteorol. 20, 1527),
// for -20 to 50 °C; coefficients from memory.
func buck(c float64) float64 { return 6.1121 * math.Exp(17.502*c/(240.97+c)) }

// hylandWexler is the saturation pressure over water by Hyland and Wexler 1983,
// as ASHRAE prints it, for 0 to 200 °C; coefficients from memory.
func hylandWexler(c float64) float64 {
	k := c + 273.15
	ln := -5.8002206e3/k + 1.3914993 - 4.8640239e-2*k + 4.1764768e-5*k*k - 1.4452093e-8*k*k*k + 6.5459673*math.Log(k)
	return math.Exp(ln) / 100
}

// TestSaturationAgreesWithOtherPublishedForms within 0.3 %, the most that the
// three are apart: at 20 °C they say 23.33, 23.37 and 23.39 hPa.
func TestSaturationAgreesWithOtherPublishedForms(t *testing.T) {
	t.Parallel()
	for c := int64(0); c <= 50; c++ {
		got := air.Saturation(measure.Celsius(c))
		for name, other := range map[string]float64{"Buck": buck(float64(c)), "Hyland and Wexler": hylandWexler(float64(c))} {
			if apart := math.Abs(got/other - 1); apart > 0.003 {
				t.Errorf("%d °C: %.4f hPa, %s %.4f: %.2f %% apart", c, got, name, other, 100*apart)
			}
		}
	}
}

// some draws air of the whole range.
func some(t *rapid.T, name string) air.Air {
	return air.Air{Temp: measure.Temperature(rapid.Int64Range(int64(air.Coldest), int64(air.Hottest)).Draw(t, name+" T")),
		RH: measure.Humidity(rapid.Int64Range(0, int64(measure.Saturated)).Draw(t, name+" RH"))}
}

func TestMoistureGrowsWithTemperatureAndHumidity(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		a := some(t, "air")
		hotter, wetter := a, a
		hotter.Temp = min(a.Temp+measure.Temperature(rapid.Int64Range(1, 50_000).Draw(t, "more T")), air.Hottest)
		wetter.RH = min(a.RH+measure.Humidity(rapid.Int64Range(1, 10_000).Draw(t, "more RH")), measure.Saturated)
		if hotter.Temp > a.Temp && a.RH > 0 && hotter.Moisture() <= a.Moisture() {
			t.Fatalf("%s holds no more than %s", hotter, a)
		}
		if wetter.RH > a.RH && wetter.Moisture() <= a.Moisture() {
			t.Fatalf("%s holds no more than %s", wetter, a)
		}
		if a.Moisture() < 0 || a.Vapour() > air.Saturation(a.Temp) {
			t.Fatalf("%s: %g g/kg, %g hPa", a, a.Moisture(), a.Vapour())
		}
	})
}

func TestAirIsAboveOtherAirInEitherBound(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		a, tested := some(t, "air"), some(t, "tested")
		above := a.RH > tested.RH || a.Moisture() > tested.Moisture()
		if (a.Above(tested) != "") != above {
			t.Fatalf("%s above %s: %q", a, tested, a.Above(tested))
		}
		if a.Above(a) != "" {
			t.Fatalf("%s is above itself: %q", a, a.Above(a))
		}
	})
}

// TestBothBoundsOfATestAreChecked is the worked example: tested at 27 °C and
// 80 %, which is 18.0 g/kg; 35 °C and 60 % is under in humidity and holds about
// 21.4 g/kg, 20 °C and 85 % is over in humidity and holds about 12.4 g/kg.
func TestBothBoundsOfATestAreChecked(t *testing.T) {
	t.Parallel()
	tested := of(270, 80)
	for _, row := range []struct {
		air  air.Air
		want string
	}{
		{of(350, 60), "air moisture 21.4 g/kg, tested 18.0 g/kg"},
		{of(200, 85), "humidity 85 %, tested 80 %"},
		{of(350, 90), "humidity 90 %, tested 80 %, and air moisture 32.6 g/kg, tested 18.0 g/kg"},
		{of(270, 80), ""}, {of(220, 55), ""},
	} {
		if got := row.air.Above(tested); got != row.want {
			t.Errorf("%s: %q, want %q", row.air, got, row.want)
		}
	}
	if got := fmt.Sprintf("%.1f", of(200, 85).Moisture()); got != "12.4" {
		t.Errorf("20 °C, 85 %% holds %s g/kg, want 12.4", got)
	}
}

func TestAirOutsideTheFormulasRangeIsRefused(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		temp  measure.Temperature
		rh    measure.Humidity
		field string
	}{
		{measure.Celsius(61), 50 * measure.Percent, "temperature"}, {measure.Celsius(-46), 0, "temperature"},
		{measure.Celsius(20), -1, "humidity"}, {measure.Celsius(20), measure.Saturated + 1, "humidity"},
	} {
		_, err := air.New(row.temp, row.rh)
		if bad, ok := errors.AsType[*air.RangeError](err); !ok || bad.Field != row.field {
			t.Errorf("New(%s, %s): %v, want the %s refused", row.temp, row.rh, err, row.field)
		}
	}
	if a, err := air.New(air.Hottest, measure.Saturated); err != nil || a.RH != measure.Saturated {
		t.Errorf("New at the ends: %v, %v", a, err)
	}
}
