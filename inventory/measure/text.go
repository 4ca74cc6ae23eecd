package measure

// UnmarshalText reads the duration as ParseDuration does, so that a rule set
// or a settings file can hold "4h".
func (d *Duration) UnmarshalText(text []byte) (err error) {
	*d, err = ParseDuration(string(text))
	return err
}

// UnmarshalText reads the length as ParseLength does.
func (l *Length) UnmarshalText(text []byte) (err error) {
	*l, err = ParseLength(string(text))
	return err
}

// UnmarshalText reads the mass as ParseMass does.
func (m *Mass) UnmarshalText(text []byte) (err error) {
	*m, err = ParseMass(string(text))
	return err
}

// UnmarshalText reads a relative humidity as a person writes it.
func (h *Humidity) UnmarshalText(text []byte) (err error) {
	*h, err = ParseHumidity(string(text))
	return err
}

// UnmarshalText reads a share by weight as a person writes it.
func (c *Content) UnmarshalText(text []byte) (err error) {
	*c, err = ParseContent(string(text))
	return err
}
