package measure

// UnitSystem is the system that a rule set decides in and a site shows
// quantities in. 250 °F and 120 °C are printed beside each other in codes and
// are not the same temperature.
type UnitSystem string

// The unit systems.
const (
	US UnitSystem = "US"
	SI UnitSystem = "SI"
)

// In prints t in degrees Fahrenheit for US and in degrees Celsius otherwise,
// with two decimals at most: "250 °F", "121.11 °C".
func (t Temperature) In(u UnitSystem) string {
	if u == US {
		return t.fahrenheit()
	}
	return t.String()
}

// Difference prints t as a difference of temperatures, such as a sensor's error, in
// the degrees of u: "12 °C", "21.6 °F".
func (t Temperature) Difference(u UnitSystem) string {
	if u == US {
		return trimDecimal(int64(t), int64(FahrenheitDegree), 2) + " °F"
	}
	return t.String()
}

// InBoth prints t in both scales, that of u first, for a person whose rule or
// meter may be in the other: "250 °F (121.11 °C)".
func (t Temperature) InBoth(u UnitSystem) string {
	if u == US {
		return t.fahrenheit() + " (" + t.String() + ")"
	}
	return t.String() + " (" + t.fahrenheit() + ")"
}
